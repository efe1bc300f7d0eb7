"""The verb that lists an import, as a user types it."""

import json
import zipfile

import pytest
from typer.testing import CliRunner

from cuffwright.case.errors import CuffError
from cuffwright.start import main
from tests.imaging.stacks import TEST_FILES, write_stack

pytestmark = pytest.mark.door


def images(*words):
    """Run the verb in this process."""
    return CliRunner().invoke(main.program(["images"]), ["images", *map(str, words)])


@pytest.fixture(scope="module")
def packed(tmp_path_factory):
    """A zip file of six slices, one lost between them, and a file that is no image."""
    folder = tmp_path_factory.mktemp("in")
    write_stack(folder / "s", [0, 3, 6, 12, 15, 18])
    (folder / "s" / "notes.txt").write_text("invented")
    with zipfile.ZipFile(folder / "all.zip", "w") as archive:
        for place in sorted((folder / "s").iterdir()):
            archive.write(place, place.name)
    return folder / "all.zip"


def test_an_import_is_listed_in_json(packed):
    """One series of six with its step, its gap, its scale and what it allows; one file set aside with its reason."""
    done = images(packed, "--json")
    assert done.exit_code == 0, done.output
    found = json.loads(done.stdout[done.stdout.index("{") :])
    (series,) = found["series"]
    assert (series["pictures"], series["step_mm"], series["even"], series["scale"]) == (6, 3.0, False, "patient")
    assert any("1 slices are missing" in note for note in series["notes"])
    assert "bone_density" in series["measures"]
    assert [aside["file"] for aside in found["set_aside"]] == ["notes.txt"]


def test_the_list_for_a_person_names_no_patient(packed):
    """The table says kind and step; name, identifier and birth date of the file (CT_small) are nowhere."""
    done = images(packed)
    assert "CT" in done.stdout
    assert "3.00" in done.stdout
    assert "Set aside notes.txt" in done.stdout
    assert [word for word in ("CompressedSamples", "CT1") if word in done.stdout] == []


def test_the_side_is_compared_and_asked():
    """A left shoulder against images right of the midline: told."""
    done = images(TEST_FILES / "dicomdirtests" / "98892003" / "MR700", "--side", "left", "--json")
    found = json.loads(done.stdout[done.stdout.index("{") :])
    assert found["refusals"] == ["the position in the patient says right, the case left"]
    assert "the image names no side; confirm which shoulder it shows" in found["asks"]


def test_a_missing_place_is_one_sentence(tmp_path):
    """Refused as every verb refuses."""
    done = images(tmp_path / "nowhere")
    assert isinstance(done.exception, CuffError)
    assert "cannot be found" in str(done.exception)
