"""Sheets on paper: size and contrast by WCAG 2.2 AA, large print, icons that need no colour, equal bytes."""

import io
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.sheets import Icons
from cuffwright.course.consent import consent_sheet
from cuffwright.course.general import GENERAL_PLAIN
from cuffwright.course.judging import judged
from cuffwright.evidence.book import load_book
from cuffwright.exchange import sheets
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.protocol_file import read_protocol
from cuffwright.exchange.sheets import sheet_text, write_sheet
from cuffwright.exchange.sheets.icons import icon_drawing, legend
from cuffwright.exchange.sheets.text import icon_rows, row_legend
from cuffwright.exchange.sheets.write import LARGE_POINTS, POINTS

NOW = datetime(2026, 11, 25, tzinfo=UTC)
SHEET = demo_cases()["small_crescent"]
MADE = consent_sheet(SHEET, judged(SHEET, load_book()), load_book())
LEAST_CONTRAST = 4.5
USUAL, LARGE = (write_sheet(MADE, made_at=NOW, large=large) for large in (False, True))
TEMPLATE = Path(sheets.__file__).parent / "sheet.typ"


def luminance(colour: str) -> float:
    """Relative luminance by the WCAG 2.2 definition."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def sizes(pdf: bytes) -> set[float]:
    """Font sizes of all text of a PDF, points."""
    found: set[float] = set()

    def look(text, _cm, tm, _font, size):
        if text.strip():
            found.add(round(abs(size * tm[3]), 1))

    for page in PdfReader(io.BytesIO(pdf)).pages:
        page.extract_text(visitor_text=look)
    return found


def words(pdf: bytes) -> str:
    """All text of a PDF with single spaces."""
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.req("REQ-150")
@pytest.mark.parametrize(("pdf", "least"), [(USUAL, POINTS), (LARGE, LARGE_POINTS)], ids=["usual", "large"])
def test_nothing_is_smaller_than_the_print_asked_for(pdf, least):
    """12 points in usual print and 18 in large print, footers and sources included."""
    assert min(sizes(pdf)) >= least
    assert (POINTS, LARGE_POINTS) == (12, 18)


@pytest.mark.req("REQ-150")
def test_every_colour_has_the_contrast_of_aa_on_white():
    """Each colour of the template and the icons has at least 4.5 to 1 on white (WCAG 2.2, 1.4.3)."""
    colours = set(re.findall(r"#[0-9A-Fa-f]{6}", TEMPLATE.read_text("utf-8")))
    colours |= set(re.findall(r"#[0-9A-Fa-f]{6}", icon_drawing(Icons(100, 10, 30, "a")))) - {"#FFFFFF"}
    assert colours
    for colour in colours:
        assert 1.05 / (luminance(colour) + 0.05) >= LEAST_CONTRAST, colour


@pytest.mark.req("REQ-151")
def test_paper_and_text_carry_the_same_words():
    """Patient, side, mode, cautions and every paragraph stand on both; the grade of reading in the foot."""
    pdf, text = words(USUAL), " ".join(sheet_text(MADE).split())
    for part in (*GENERAL_PLAIN, "demo-crescent", "RIGHT shoulder", "not for care", "invented", "Reading grade"):
        assert part in pdf
        assert part in text
    for section in MADE.sections:
        for line in (*section.paragraphs, *section.items):
            assert line in pdf
            assert line in text
    assert re.sub(r"\s", "", MADE.sources[0]) in re.sub(r"\s", "", pdf.replace("\u200b", ""))


def test_icons_are_told_apart_without_colour():
    """100 circles: full, dotted, empty; the legend and the rows of text say the same numbers."""
    one = Icons(100, 10, 32, "a")
    drawing = icon_drawing(one)
    assert drawing.count("<circle") == 100 + 22
    rows = " ".join(icon_rows(one))
    assert (rows.count("#"), rows.count("+"), rows.count(".")) == (10, 22, 68)
    assert "10" in legend(one)
    assert "32" in legend(one)
    assert "up to" not in legend(Icons(100, 8, 8, "a"))
    assert "#: 10 in all groups. +: up to 32 in some." in row_legend(one)
    assert row_legend(Icons(100, 8, 8, "a")).endswith("#: 8 of 100.")
    assert "Each sign is one person." in sheet_text(MADE)


def test_equal_arguments_give_equal_bytes_and_a_time_needs_its_zone():
    """The same sheet at the same time is the same file; it is tagged; a time without zone is refused."""
    pdf = write_sheet(MADE, made_at=NOW)
    assert pdf == USUAL
    assert b"/MarkInfo" in pdf or PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/MarkInfo"]["/Marked"]
    with pytest.raises(FormatError, match="no time zone"):
        write_sheet(MADE, made_at=datetime(2026, 11, 25))


PROTOCOL = """format = 1
name = "Ward A"
version = "3"
sling_ends_week = 6.0
passive_week = 2.0
active_week = 6.0
strengthening_week = 12.0

[[stages]]
name = "protect"
from_week = 0.0
to_week = 6.0
allowed = "sling, passive motion"
elevation_degrees = 90.0
criteria = ["little pain"]
"""


def test_a_protocol_is_read_strictly():
    """A good file is read whole; another format, a strange field and broken TOML are refused in a sentence."""
    found = read_protocol(PROTOCOL)
    assert (found.version, found.week("strengthening"), found.stages[0].criteria) == ("3", 12, ("little pain",))
    with pytest.raises(CaseError, match="format = 1"):
        read_protocol(PROTOCOL.replace("format = 1", "format = 2"))
    with pytest.raises(CaseError, match="smile"):
        read_protocol(PROTOCOL + "smile = 1\n")
    with pytest.raises(FormatError, match="not valid TOML"):
        read_protocol("name = ")
