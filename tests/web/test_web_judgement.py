"""Judgement on Tear: every model drawn or told, cautions on the screen, and the patient's sheet printed."""

import html
import math
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from cuffwright.course.general import GENERAL
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.web.judgement_view import judgement_of, judgement_view
from cuffwright.web.tear_asking import explain
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """One app for all of them: each test has a case of its own."""
    with opened(tmp_path_factory.mktemp("cases"), QUICK) as one:
        yield one


@pytest.mark.req("REQ-151")
def test_the_tear_carries_the_cautions_and_every_source(door: Door) -> None:
    """All five cautions, every model with its people and source, every class with its rule stand on the page."""
    page = html.unescape(door.get(f"/cases/{door.open('large_l_shaped')}/tear").text)
    found = judgement_of(demo_cases()["large_l_shaped"], load_book())
    for words in (*GENERAL, *found.double_row, *(one.title for one in found.classes)):
        assert words in page
    for rule in (one.rule for one in found.classes):
        assert rule.lower() in page.lower()
    for one in found.odds:
        assert f"{one.population.people}; {one.population.imaging}" in page
        assert load_book().sources[one.population.source].citation in page
    assert "not a blend" in page
    assert page.count('class="odd-scale"') == sum(one.low is not None for one in found.odds)


@pytest.mark.req("REQ-143")
def test_what_is_missing_is_said_with_what_it_blocks() -> None:
    """Without an age every model that needs it is named beside it, and none of those is drawn."""
    sheet = demo_cases()["large_l_shaped"]
    view = judgement_view(replace(sheet, patient=replace(sheet.patient, age=None)), load_book())
    needing = {one.said.title.lower() for one in view["healing"] if "patient.age" in one.said.missing}
    blocked = {one.path: {title.lower() for title in one.blocks} for one in view["needed"]}
    assert needing
    assert needing <= blocked["patient.age"]
    assert all(one.low is None for one in view["healing"] if one.said.title.lower() in needing)


@pytest.mark.req("REQ-142", "REQ-241")
def test_who_is_among_the_people_studied_is_asked() -> None:
    """A repair done before decides who is among first repairs: it is asked first, and named at each source."""
    sheet = demo_cases()["large_l_shaped"]
    view = judgement_view(sheet, load_book())
    asked = next(one for one in view["needed"] if one.path == "patient.earlier_repair")
    assert "who is among the people studied" in asked.blocks
    assert any("not answered yet, repaired before" in one.why for one in view["healing"])
    told = judgement_view(replace(sheet, patient=replace(sheet.patient, earlier_repair=False)), load_book())
    assert not any(one.path == "patient.earlier_repair" for one in told["needed"])


@pytest.mark.req("REQ-200")
def test_a_grade_by_eye_is_asked_answered_and_taken_back(door: Door) -> None:
    """A stage that decides a class is unknown until its form is sent, then decides it, and undo makes it unknown."""
    key = door.open("large_l_shaped")
    path = "judgement.retraction_stage"
    assert view_class(door, key) is None
    sent = door.post(f"/cases/{key}/tear", data={"path": path, "expected": "2", "value": "3"})
    assert sent.status_code == 303
    assert view_class(door, key) == "stage 3"
    door.give(key, "undo")
    assert view_class(door, key) is None


def view_class(door: Door, key: str) -> str | None:
    """The class of retraction by eye in what stands."""
    sheet = door.app.state.cases.now(key).board.sheet
    found = judgement_of(sheet, load_book())
    return next(one.value for one in found.classes if one.name == "retraction-stage")


def test_the_sheet_is_printed_in_both_sizes(door: Door) -> None:
    """Usual and large print are PDF files that name the side and differ."""
    key = door.open()
    usual, large = (door.get(f"/cases/{key}/consent.pdf{more}") for more in ("", "?large=1"))
    assert usual.content[:5] == large.content[:5] == b"%PDF-"
    assert "right" in usual.headers["content-disposition"]
    assert usual.content != large.content


@pytest.mark.req("REQ-152")
def test_both_pressures_stand_on_one_page_without_a_set_point(door: Door) -> None:
    """Systolic 110 gives 61, mean 80 at 36 cm gives 52.3 to 53.5 (series of 1995, page of 2013); empty fields are
    named, never taken as normal; a word for a number is refused."""
    path = f"/cases/{door.open()}/pressures"
    page = html.unescape(door.get(f"{path}?systolic=110&mean=80&height=36&cuff=arm").text)
    for words in ("61 mmHg", "52.3 to 53.5 mmHg", "no set-point", *GENERAL):
        assert words in page
    page = html.unescape(door.get(f"{path}?systolic=110&mean=80&height=36&cuff=ankle").text)
    assert "do not use it" in page
    assert "61 mmHg" not in page
    assert "not computed, needs the systolic pressure" in html.unescape(door.get(path).text)
    assert door.get(f"{path}?mean=high").status_code == 422


@pytest.mark.req("REQ-221")
def test_every_number_of_tear_can_be_asked(door: Door) -> None:
    """Each number on the page opens with meaning, way, limits and its rows; what is none is refused in a sentence."""
    key = door.open("elderly_soft_bone")
    names = set(re.findall(r'data-ask="([^"]+)"', door.get(f"/cases/{key}/tear").text))
    heads = {name.partition(".")[0] for name in names}
    assert heads == {"measure", "structure", "odds", "class", "reason", "statement"}
    sheet, book = demo_cases()["elderly_soft_bone"], load_book()
    for name in names:
        answer = explain(sheet, book, name)
        assert answer["meaning"]
        assert answer["formula"]
        assert answer["validity"]
        assert answer["facts"] or name.startswith(("measure.", "class.shape", "statement.")), name
        assert answer["facts"] or answer["inputs"], name
    told = door.get(f"/api/cases/{key}/tear/ask/structure.all").json()["answer"]
    assert all(row["source"]["citation"] and row["provenance"] for row in told["facts"])
    for strange in ("odds.weather", "measure.tear.colour", "measure", "structure.best", "ultimate.excellent"):
        assert 400 <= door.get(f"/api/cases/{key}/tear/ask/{strange}").status_code < 500, strange


@pytest.mark.req("REQ-221")
def test_what_moves_a_share_most_is_what_its_published_formula_says() -> None:
    """Age and width a tenth larger move the logistic model as its published coefficients do; a band they do not leave
    moves by nothing and says so."""
    sheet, book = demo_cases()["large_l_shaped"], load_book()
    width, retraction = (m.value / 10 for m in (sheet.tear.width_mm, sheet.tear.retraction_mm) if m is not None)

    def share(age: float, wide: float) -> float:
        logits = [
            -9.7 + 0.039 * age + 0.027 * 100 + wide + 0.76 * retraction - 0.17 * wide * retraction + 0.018 * minutes
            for minutes in (20, 25)
        ]
        return 50 * sum(1 / (1 + math.exp(-one)) for one in logits)

    answer = explain(sheet, book, "odds.logistic-retear")
    age = float(sheet.patient.age or 0)
    moved = {
        "Age, 10 % more": share(1.1 * age, width) - share(age, width),
        "Width of the tear, 10 % more": share(age, 1.1 * width) - share(age, width),
    }
    assert dict(answer["movers"]) == pytest.approx(moved, abs=0.06)
    assert answer["moved_unit"] == "of 100"
    band = explain(sheet, book, "odds.size-band")
    assert band["movers"] == ()
    assert band["moved_how"].startswith("No measure")
