"""The loader of evidence refuses a row nobody could trace."""

from pathlib import Path

import pytest

from cuffwright.case.errors import EvidenceError
from cuffwright.evidence.book import load_book, read_book

SOURCES = "source,citation,year,url\nj1,A journal,2001,https://example.org\n"
HEAD = "key,value,unit,low,high,sd,source,where,provenance,note\n"


def folder(tmp_path: Path, rows: str, sources: str = SOURCES) -> Path:
    """A folder of rows with one source."""
    (tmp_path / "sources.csv").write_text(sources, "utf-8")
    (tmp_path / "rows.csv").write_text(HEAD + rows, "utf-8")
    return tmp_path


def test_row_is_read_whole(tmp_path: Path) -> None:
    """A good row gives value, unit, range and source."""
    book = read_book(folder(tmp_path, "a.b,3.5,mm,3,4,,j1,table 1,read,\n"))
    assert (book.fact("a.b").value, book.fact("a.b").unit, book.fact("a.b").source.year) == (3.5, "mm", 2001)
    assert book.fact("a.b").verified


@pytest.mark.req("REQ-012")
@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("a,1,mm,,,,j9,,read,\n", "no sources file lists"),
        ("a,1,mm,,,,j1,,read,\na,2,mm,,,,j1,,read,\n", "stands twice"),
        ("a,5,mm,1,2,,j1,,read,\n", "outside its own range"),
        ("a,x,mm,,,,j1,,read,\n", "no finite number"),
        ("a,nan,mm,,,,j1,,read,\n", "no finite number"),
        ("a,1,,,,,j1,,read,\n", "no unit"),
        ("a,1,mm,,,,j1,,hearsay,\n", "unknown provenance"),
        ("a,1,mm,,,,j1,,read,a,b\n", "another number of fields"),
    ],
)
def test_untraceable_row_is_refused(tmp_path: Path, rows: str, words: str) -> None:
    """Each way a row can be wrong is refused with file and line."""
    with pytest.raises(EvidenceError, match=words) as refusal:
        read_book(folder(tmp_path, rows))
    assert "rows.csv line" in str(refusal.value)


def test_edition_names_the_rows(tmp_path: Path) -> None:
    """Changing one value changes the edition; reading twice does not."""
    (tmp_path / "1").mkdir()
    (tmp_path / "2").mkdir()
    one = read_book(folder(tmp_path / "1", "a,1,mm,,,,j1,,read,\n"))
    two = read_book(folder(tmp_path / "2", "a,1.1,mm,,,,j1,,read,\n"))
    assert one.edition != two.edition
    assert one.edition == read_book(tmp_path / "1").edition


def test_packaged_rows_load() -> None:
    """The packaged rows load, and an unknown key is refused by name."""
    assert load_book().fact("rule.anchor.spacing").unit == "mm"
    with pytest.raises(EvidenceError, match=r"no evidence row is called x\.y"):
        load_book().fact("x.y")
