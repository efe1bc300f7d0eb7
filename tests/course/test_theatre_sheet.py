"""The theatre sheet of the evening before: every anchor's implant once, spares closed, doubts named."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from cuffwright.case.implant import Stock, StockItem
from cuffwright.course.theatre_sheet import theatre_sheet
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.implants import open_stock
from cuffwright.exchange.sheets import sheet_text, write_sheet
from cuffwright.exchange.theatre import usual_template
from tests.theatre.invented_operation import laid, limbs

STOCK = open_stock(Path(__file__).parents[2] / "examples" / "theatre" / "stock.toml")
CASE = demo_cases()["small_crescent"]


def sections(stock, layout=None):
    """The sheet's lists by heading."""
    made = theatre_sheet(CASE, layout, usual_template(), stock, load_book())
    return {section.heading: section.items for section in made.sections}, made


def test_every_anchor_has_its_implant_counted_once():
    """The counts by kind add up to the anchors of the layout, each named; spares and rescue stay closed."""
    layout = laid()[0]
    found, made = sections(STOCK, layout)
    counts = [int(line.split()[0]) for line in found["Implants"]]
    assert sum(counts) == len(layout.anchors)
    for anchor in layout.anchors:
        assert (
            sum(anchor.name in line.split(". ")[0].split("anchor ")[1].split(", ") for line in found["Implants"]) == 1
        )
    assert "2 spare of all-suture 2.5, two sutures." in found["Do not open until called"]
    assert any("kept for rescue" in line for line in found["Do not open until called"])
    assert "RIGHT shoulder" in made.title
    assert len(found["Steps"]) > len(layout.anchors) + len(layout.holes)


def test_the_steps_are_those_of_the_plan_of_limbs():
    """With a plan of limbs every move stands on the sheet in its order, and every portal it uses is named."""
    planned, layout = limbs()[0], laid()[0]
    made = theatre_sheet(CASE, layout, usual_template(), STOCK, load_book(), planned)
    found = {section.heading: section.items for section in made.sections}
    moves = [step.words for step in planned]
    assert [line for line in found["Steps"] if line in moves] == moves
    assert {portal for step in planned for portal in (step.source, step.to) if portal} <= set(
        found["Portals, in this order"]
    )


def test_what_lacks_is_named_and_nothing_assumed():
    """No stock, no spares; a missing kind and a full eyelet are cautions; without a pattern it says so."""
    layout = laid()[0]
    assert "needs the stock" in sections(None, layout)[0]["Do not open until called"][0]
    kind = layout.anchors[0].implant
    narrow = Stock("own", "1", (StockItem("narrow", kind, eyelet_limit=0),))
    mind = sections(narrow, layout)[0]["Mind"]
    assert any("takes" in line and "the eyelet of narrow 0" in line for line in mind)
    assert any("has no" in line for line in mind)
    assert "No repair pattern" in sections(STOCK)[0]["Implants"][0]


def test_the_sheet_is_printed_as_text_and_page():
    """Text and PDF come out; the text names the patient, and no heading for sources that there are not."""
    made = sections(STOCK, laid()[0])[1]
    text = sheet_text(made)
    assert "Sources" not in text
    assert CASE.identity.patient in text
    pdf = write_sheet(replace(made, sources=()), made_at=datetime(2026, 8, 1, tzinfo=UTC))
    assert pdf.startswith(b"%PDF")
