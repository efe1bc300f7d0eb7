"""The page Practice: every kept operation counts once, the silent ones as lost; drawn, told, and never a verdict."""

import csv
import html
import io
from collections.abc import Iterator
from datetime import date, timedelta

import pytest

from cuffwright.course.general import GENERAL
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door

TODAY = date.today()


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """One practice: torn, whole, silent, too young, a copy of the torn one with nothing on record, and a plan."""
    with opened(tmp_path_factory.mktemp("cases"), QUICK) as one:
        operated(one, 60, "V")
        operated(one, 60.5, "II")
        operated(one, 61)
        operated(one, 10)
        one.post(f"/cases/{operated(one, 62, 'I')}/copy")
        one.open()
        yield one


def operated(door: Door, weeks: float, mr_type: str = "") -> str:
    """A case operated on so many weeks ago, with an image of week 30 where a type is given; returns its key."""
    key, day = door.open(), TODAY - timedelta(weeks=weeks)
    values = {"identity.operation_date": day.isoformat(), "identity.image_date": None, "patient.age": 61}
    assert door.give(key, "set-measures", {"values": values}).status_code == 200
    if mr_type:
        seen = {"day": (day + timedelta(weeks=30)).isoformat(), "imaging": "MR", "mr_type": mr_type}
        told = {"expected": str(door.board(key)["seq"]), **seen}
        assert door.post(f"/cases/{key}/followup/image", data=told).status_code == 303
    return key


@pytest.mark.req("REQ-242", "REQ-151")
def test_every_operation_counts_once_and_a_silent_one_is_lost(door: Door) -> None:
    """4 of 5 operations are old enough: 1 torn, 1 lost, so 25 to 50 %; the copy does not count twice, the plan not at
    all; 3 of 4 followed is below 80 %, so nothing is compared; all five cautions stand."""
    page = html.unescape(door.get("/practice").text)
    assert "1 of 4 torn again, 1 lost: between 25.0 % and 50.0 %. 1 not yet 26 weeks old." in page
    assert "hold one operation; the one with most on record counts" in page
    assert page.count("has nothing on record since") == 2
    assert "75% were followed, needs 80%" in page
    assert 'class="targets"' in page
    assert page.count('class="scale"') == 0
    assert all(words in page for words in GENERAL)
    assert "It is no verdict on a surgeon." in page


@pytest.mark.req("REQ-243")
def test_the_chart_is_drawn_and_is_the_same_as_a_table(door: Door) -> None:
    """61 years: 15 % (1600 repairs, 2017). Whole, whole, torn in the order of the operations: the score ends at
    ln(2 / 1.15) = 0.553; another limit is drawn when asked; an impossible one is refused."""
    rows = list(csv.DictReader(io.StringIO(door.get("/practice.csv").text)))
    assert [(row["risk"], row["failed"]) for row in rows] == [("0.15", "no"), ("0.15", "no"), ("0.15", "yes")]
    assert float(rows[-1]["score"]) == pytest.approx(0.5534, abs=1e-4)
    page = door.get("/practice?limit=0.5").text
    assert "3 repairs, score 0.55 after the last, signal at 0.5, 1 above it" in page
    assert "look at these cases" in page
    assert door.get("/practice?limit=0").status_code == 422


def test_a_practice_without_operations_counts_nothing(tmp_path) -> None:
    """Nothing kept, nothing counted; the table is refused in a sentence; the way leads from the case list."""
    with opened(tmp_path, QUICK) as door:
        assert "No operation is on record yet" in door.get("/practice").text
        assert door.get("/practice.csv").status_code == 422
        assert 'href="/practice"' in door.get("/").text
