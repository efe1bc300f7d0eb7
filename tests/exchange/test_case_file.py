"""The case file survives a round trip and refuses nonsense in one sentence."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import CuffError
from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.case_file import open_case, read_case, write_case
from cuffwright.exchange.plain import case_schema, sheet_from_plain, sheet_to_plain
from tests.strategies import sheets

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "examples" / "cases").glob("*.toml"))
GOOD = DEMOS[-1].read_text("utf-8")


@pytest.mark.req("REQ-039")
@settings(max_examples=60, deadline=None)
@given(sheets)
def test_case_survives_the_file(sheet: CaseSheet) -> None:
    """Whatever a case holds, writing and reading gives an equal case, in TOML and as plain values."""
    assert read_case(write_case(sheet)) == sheet
    assert sheet_from_plain(json.loads(json.dumps(sheet_to_plain(sheet)))) == sheet


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_demo_cases_obey_the_published_schema(path: Path) -> None:
    """Each demo case is valid by the published JSON Schema, read by an independent validator, and marked invented."""
    published = json.loads((ROOT / "docs" / "case.schema.json").read_text("utf-8"))
    plain = json.loads(json.dumps(tomllib.loads(path.read_text("utf-8")), default=str))

    jsonschema.validate(plain, published)
    assert open_case(path).identity.invented


def test_published_schema_is_the_one_in_force() -> None:
    """docs/case.schema.json is exactly what the reader enforces; `cuffwright schema` writes it anew."""
    assert json.loads((ROOT / "docs" / "case.schema.json").read_text("utf-8")) == case_schema()


@pytest.mark.req("REQ-001", "REQ-011", "REQ-014", "REQ-038", "REQ-047")
@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ('side = "right"\n', "", "identity.side: Field required"),
        ('side = "right"', 'side = "port"', "identity.side: Input should be 'right' or 'left'"),
        ("value = 14.0", "value = nan", "tear.width_mm.value: Input should be a finite number"),
        ("value = 14.0", "value = -14.0", "0 or more, not -14"),
        ("value = 14.0", 'value = "14"', "valid number"),
        ("format = 1", "format = 2", "newer than 1"),
        ("format = 1", "", "write format = 1"),
        ("delaminated", "delamimated", "tear.delamimated: Unexpected"),
        ("value = 14.0", "value = 14.0.1", "not valid TOML"),
    ],
)
def test_wrong_case_is_refused_in_one_sentence(before: str, after: str, words: str) -> None:
    """No side, a wrong side, NaN, a negative, text for a number, a newer format, a misspelt field: each is named."""
    assert before in GOOD
    with pytest.raises(CuffError) as refusal:
        read_case(GOOD.replace(before, after, 1))

    assert words in str(refusal.value)
    assert "\n" not in str(refusal.value)


@pytest.mark.req("REQ-047")
@settings(max_examples=80, deadline=None)
@given(st.binary(max_size=300))
def test_random_bytes_are_refused(tmp_path_factory: pytest.TempPathFactory, noise: bytes) -> None:
    """Random bytes give one sentence, never another kind of error."""
    path = tmp_path_factory.mktemp("noise") / "case.toml"
    path.write_bytes(noise)
    with pytest.raises(CuffError):
        open_case(path)


@pytest.mark.req("REQ-047")
def test_huge_empty_and_absent_files_are_refused(tmp_path: Path) -> None:
    """A 10 MB file, an empty one, a folder and one that is not there are each refused by name."""
    huge, empty = tmp_path / "huge.toml", tmp_path / "empty.toml"
    huge.write_bytes(b"#" * 10_000_000)
    empty.write_bytes(b"")
    for path, words in [
        (huge, "no case file"),
        (empty, "empty"),
        (tmp_path, "cannot be read"),
        (tmp_path / "x", "cannot"),
    ]:
        with pytest.raises(CuffError, match=words):
            open_case(path)
