"""``cuffwright access`` as a user types it: the words, the JSON, the refusals."""

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.cli.access import register

CASES = Path(__file__).parents[2] / "examples" / "cases"

pytestmark = pytest.mark.door


def ran(*arguments: str):
    """The verb on its own little program."""
    app = typer.Typer()
    register(app)
    return CliRunner().invoke(app, [str(a) for a in arguments])


def test_the_words_hold_portals_reach_nerves_and_the_sentence():
    """Text names patient key and side, each portal in cm, each site, the nerves as population estimates, never safe."""
    done = ran(CASES / "large_l_shaped.toml", "--draws", "20")
    assert done.exit_code == 0, done.output
    for words in ("demo-l-shaped", "LEFT shoulder", "confirm by needle", "cm below the lateral edge", "axillary nerve"):
        assert words in done.output
    assert "population estimates" in done.output
    assert "from memory, not for a patient's sheet" in done.output
    assert "safe" not in done.output.lower()


def test_json_is_one_object_with_the_same_answer():
    """JSON carries side, pose as asked, all reaches and margins, and the seed."""
    flags = ("--json", "--draws", "20", "--seed", "3", "--position", "lateral-decubitus", "--rotation", "-20")
    done = ran(CASES / "small_crescent.toml", *flags)
    found = json.loads(done.output)
    assert (found["side"], found["seed"], found["draws"]) == ("right", 3, 20)
    assert found["pose"]["rotation_degrees"] == -20
    assert found["pose"]["place"] == "lateral decubitus"
    assert found["pose"]["traction_kg"] > 0
    assert {reach["answer"] for reach in found["reaches"]} <= {"yes", "moved", "no"}


def test_an_unknown_position_is_refused_in_a_sentence():
    """A position nobody lies in is refused with the two there are."""
    done = ran(CASES / "small_crescent.toml", "--position", "standing")
    assert isinstance(done.exception, CaseError)
    assert "choose one of beach-chair, lateral-decubitus" in str(done.exception)


def test_landmarks_come_from_a_table_and_wrong_ones_are_named(tmp_path):
    """A CSV of landmarks is read; a line without numbers and a name nobody knows are refused in a sentence."""
    file = tmp_path / "marks.csv"
    file.write_text("name,left,back,head,sd\ncoracoid tip,-150,-40,1400,1\nglenoid top,-165,0,1405,1\n")
    done = ran(CASES / "small_crescent.toml", "--json", "--draws", "20", "--landmarks", file)
    assert [mark["name"] for mark in json.loads(done.output)["landmarks"]] == ["coracoid tip", "glenoid top"]
    file.write_text("name,left,back,head,sd\ncoracoid tip,near,-40,1400,1\n")
    done = ran(CASES / "small_crescent.toml", "--landmarks", file)
    assert isinstance(done.exception, FormatError)
    assert "line 2" in str(done.exception)
    file.write_text("name,left,back,head,sd\nnose,1,2,3,1\n")
    assert "no landmark nose" in str(ran(CASES / "small_crescent.toml", "--landmarks", file).exception)
