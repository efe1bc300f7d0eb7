"""Judgement on Tear: every model drawn or told, cautions on the screen, and the patient's sheet printed."""

import html
from dataclasses import replace

import pytest

from cuffwright.course.general import GENERAL
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.web.judgement_view import INSET, WIDTH, judgement_of, judgement_view, label, place
from tests.web.door import Door


@pytest.mark.req("REQ-151")
def test_the_tear_carries_the_cautions_and_every_source(door: Door) -> None:
    """All five cautions, every model with its people and source, every rule stand on the page."""
    page = html.unescape(door.get(f"/cases/{door.open('large_l_shaped')}/tear").text)
    found = judgement_of(demo_cases()["large_l_shaped"], load_book())
    for words in (*GENERAL, *(one.rule for one in found.classes), *found.double_row):
        assert words in page
    for one in found.odds:
        assert f"{one.population.people}; {one.population.imaging}" in page
        assert one.population.source in page
    assert "a range, not a blend" in page
    assert page.count('role="img" aria-label') >= sum(one.low is not None for one in found.odds)


@pytest.mark.req("REQ-143")
def test_what_is_missing_is_said_with_what_it_blocks() -> None:
    """Without an age every model that needs it is named beside it, and none of those is drawn."""
    sheet = demo_cases()["large_l_shaped"]
    view = judgement_view("k", replace(sheet, patient=replace(sheet.patient, age=None)), load_book())
    needing = {one.said.title for one in view["structure"] if "patient.age" in one.said.missing}
    assert needing
    assert needing <= set(view["blocked"]["patient.age"])
    assert (label("patient.age"), label("patient.bone_density_t_score")) == ("Age", "Bone density T-score")
    assert all(one.low is None for one in view["structure"] if one.said.title in needing)


def test_all_models_stand_on_one_even_scale() -> None:
    """0, 50 and 100 % lie at the left end, the middle and the right end."""
    assert [place(share) for share in (0, 0.5, 1)] == [INSET, WIDTH / 2, WIDTH - INSET]


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
    page = html.unescape(door.get(f"{path}?systolic=110&mean=80&height=36&cuff=ankle").text)
    for words in ("61 mmHg", "52.3 to 53.5 mmHg", "no set-point", "do not use it", *GENERAL):
        assert words in page
    assert "not computed, needs the systolic pressure" in html.unescape(door.get(path).text)
    assert door.get(f"{path}?mean=high").status_code == 422
