"""One answer, four ways out: interface, command line, print and the course itself carry the same numbers."""

import json
import random
import sys
from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import UTC, datetime
from io import BytesIO
from math import dist
from pathlib import Path

import pytest
from pypdf import PdfReader

from cuffwright.case.errors import CuffError
from cuffwright.case.fact import Citing, FixedBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli import hold as hold_verb
from cuffwright.course.hold import Prepared, hold, lay, prepare
from cuffwright.course.rules import refusal
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import write_case
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.plain import layout_to_plain
from cuffwright.exchange.report import terrain_lines, write_report
from cuffwright.exchange.report.printed import number, spread
from cuffwright.repair.patterns import patterns
from cuffwright.start import main
from cuffwright.web.holding import course_holding
from tests.sampling import of
from tests.web.door import Door, opened

DRAWS = 100
LAYOUTS = of(3, 20)
STRENGTH = "hole.capacity"
APART = 2.0  # mm; the row limit.neighbour: limbs closer than that are outside the model


def random_case(number: int) -> tuple[CaseSheet, Layout]:
    """A random shoulder of one scenario with a randomly disturbed pattern on it, the same for the same number."""
    chance = random.Random(number)
    sheet = chance.choice(sorted(demo_cases().items()))[1]
    width = Measurement(round(chance.uniform(14, 24), 1), 1.0, "typed", "invented")
    tear = replace(sheet.tear, width_mm=width, tissue=chance.choice(["good", "fair", "poor"]))
    sheet = replace(sheet, tear=tear, bone=replace(sheet.bone, quality=chance.choice(["good", "fair", "poor"])))
    prepared = prepare(sheet, load_book())
    layout = lay(prepared, chance.choice(fitting(prepared)))
    for place in (*layout.anchors, *layout.holes):
        moved = replace(
            place, u=round(place.u + chance.uniform(-0.4, 0.4), 2), v=round(place.v + chance.random() / 2, 2)
        )
        if place in layout.anchors:
            layout = layout.with_anchor(moved)
        elif all(dist((moved.u, moved.v), (h.u, h.v)) > APART for h in layout.holes if h.name != moved.name):
            layout = layout.with_hole(moved)
    return sheet, layout


def fitting(prepared: Prepared) -> list[str]:
    """Names of the patterns meant for this tear."""
    facts = Citing(prepared.book)
    return [
        name
        for name, wanted in sorted(patterns().items())
        if refusal(wanted, prepared.sheet, prepared.strip, prepared.bed, facts) is None
    ]


def through_the_interface(door: Door, sheet: CaseSheet, layout: Layout) -> dict:
    """The settled answer as the interface gives it, after the commands a hand would give."""
    key = door.post("/api/cases", json={"toml": write_case(sheet)}).json()["key"]
    assert door.give(key, "choose-pattern", {"name": layout.pattern}).status_code == 200
    for kind, places in (("move-anchor", layout.anchors), ("move-hole", layout.holes)):
        for place in places:
            answer = door.give(key, kind, {"name": place.name, "u": place.u, "v": place.v})
            assert answer.status_code == 200, answer.text
    return door.get(f"/api/cases/{key}/hold").json()["hold"]


def through_the_command_line(tmp_path: Path, sheet: CaseSheet, layout: Layout, monkeypatch, capsys) -> dict:
    """The answer as `hold --json` prints it."""
    case, laid = tmp_path / "case.toml", tmp_path / "layout.json"
    case.write_text(write_case(sheet), "utf-8")
    laid.write_text(json.dumps(layout_to_plain(layout)), "utf-8")
    words = ["cuffwright", "hold", str(case), "--layout", str(laid), "--draws", str(DRAWS), "--json"]
    monkeypatch.setattr(sys, "argv", words)
    with pytest.raises(SystemExit) as ended:
        main.run()
    printed = capsys.readouterr()
    assert ended.value.code == 0, printed.err
    return json.loads(printed.out)


def printed_numbers(result: HoldResult) -> list[str]:
    """What the pages must say of an answer: every interval, every member's load, the contact."""
    one = result.scenarios[0]
    intervals = [i for i in (one.ultimate, one.gap, one.stiffness, *(m.loaded for m in one.members)) if i is not None]
    plain = [m.tied for m in one.members] + [m.capacity for m in one.members]
    contact = [result.contact.force, result.contact.mean, result.contact.peak, result.contact.area_share]
    return [spread(i).split(" (")[0] for i in intervals] + [number(n) for n in (*plain, *contact)]


def on_paper(sheet: CaseSheet, result: HoldResult) -> str:
    """All words of the pages."""
    book = load_book()
    facts = {key: book.fact(key) for key in result.facts}
    terrain = terrain_lines(prepare(sheet, book).chart)
    pages = write_report(sheet, result, facts, terrain, made_at=datetime(2026, 1, 1, tzinfo=UTC))
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pages)).pages)


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """One app for all layouts."""
    with opened(tmp_path_factory.mktemp("cases"), course_holding(), draws=DRAWS) as one:
        yield one


@pytest.mark.req("REQ-040")
@pytest.mark.parametrize("number", range(LAYOUTS))
def test_every_way_out_carries_the_same_numbers(number: int, door: Door, tmp_path: Path, monkeypatch, capsys) -> None:
    """For a random layout: interface and command line equal the course to the last digit; the print says them all."""
    sheet, layout = random_case(number)
    try:
        result = hold(sheet, load_book(), layout=layout, draws=DRAWS)
    except CuffError as limit:
        pytest.fail(f"layout {number} was refused: {limit}")
    expected = json.loads(json.dumps(asdict(result)))

    assert through_the_command_line(tmp_path, sheet, layout, monkeypatch, capsys) == expected
    assert through_the_interface(door, sheet, layout) == expected
    words = on_paper(sheet, result)
    assert [n for n in printed_numbers(result) if n not in words] == []


def test_one_strength_row_moves_every_way_out(tmp_path: Path, monkeypatch, capsys) -> None:
    """One strength row raised by a tenth changes ultimate load and verdict in each way out, and all still agree."""
    sheet, layout = random_case(1)
    before = hold(sheet, load_book(), layout=layout, draws=DRAWS)
    book = FixedBook(dict(load_book().rows), load_book().edition).scaled([STRENGTH], 1.1)
    monkeypatch.setattr(hold_verb, "load_book", lambda: book)
    result = hold(sheet, book, layout=layout, draws=DRAWS)
    expected = json.loads(json.dumps(asdict(result)))

    assert result.scenarios[0].ultimate.middle > before.scenarios[0].ultimate.middle
    assert result.verdict != before.verdict
    assert through_the_command_line(tmp_path, sheet, layout, monkeypatch, capsys) == expected
    with opened(tmp_path / "cases", course_holding(), draws=DRAWS, book=book) as door:
        assert through_the_interface(door, sheet, layout) == expected
    words = on_paper(sheet, result)
    assert [n for n in printed_numbers(result) if n not in words] == []
