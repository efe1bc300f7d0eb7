"""Follow-up on the page: numbers of scores, imaging, complications, weeks, and sheets that only a release prints."""

import csv
import html
import io
import json
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from cuffwright.case.rehab import Protocol, Release
from cuffwright.course.caring import SheetsReleased
from cuffwright.course.general import GENERAL
from cuffwright.course.rehabilitation import rehabilitation
from cuffwright.course.releasing import released_sheets
from cuffwright.evidence.book import load_book
from cuffwright.web.ledger_caring import caring_change, caring_entry
from cuffwright.web.settling import Settling
from cuffwright.web.worker import Job, Report
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door

TODAY = date.today()
OPERATION = TODAY - timedelta(weeks=40)
WEEKS = {"sling_ends_week": "6", "passive_week": "2", "active_week": "6", "strengthening_week": "13"}


class AtOnce:
    """A worker that settles in this process as soon as it is asked; one of its own is tried with the settling."""

    def __init__(self, settling: Settling) -> None:
        self.settling = settling

    def send(self, job: Job) -> None:
        """Settle the job and tell its course."""
        prepared = QUICK.prepare(job.sheet, load_book())
        result = QUICK.settle(prepared, job.layout, draws=100, seed=job.seed, approach=job.approach)
        self.settling._tell(self.settling._courses[job.key], Report(job.number, "settled", result=result))
        self.settling._running = None


class Never:
    """A worker that is asked and does not answer."""

    def send(self, job: Job) -> None:
        """Keep silent."""


@pytest.fixture(autouse=True)
def settled_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """No test here starts a process."""
    monkeypatch.setattr(Settling, "_worker", lambda settling: AtOnce(settling))


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """One app for all of them: each test has a case of its own."""
    with opened(tmp_path_factory.mktemp("cases"), QUICK) as one:
        yield one


def day(weeks: float) -> str:
    """A day so many weeks after the operation."""
    return (OPERATION + timedelta(weeks=weeks)).isoformat()


def operated(door: Door, demo: str = "small_crescent") -> str:
    """A case operated on forty weeks ago; returns its key."""
    key = door.open(demo)
    values = {"identity.operation_date": OPERATION.isoformat(), "identity.image_date": None}
    assert door.give(key, "set-measures", {"values": values}).status_code == 200
    return key


def send(door: Door, key: str, what: str, **fields: str):
    """Send one form of Follow-up; returns the answer."""
    return door.post(f"/cases/{key}/followup/{what}", data={"expected": str(door.board(key)["seq"]), **fields})


def ases(door: Door, key: str, on: str, pain: str, each: str):
    """Enter one score: pain and ten equal answers."""
    told = {"score": "ases", "day": on, "pain.0": pain, **{f"function.{item}": each for item in range(10)}}
    return send(door, key, "score", **told)


def words(door: Door, key: str) -> str:
    """The page as text."""
    return html.unescape(door.get(f"/cases/{key}/followup").text)


def rows(door: Door, key: str) -> list[dict[str, str]]:
    """The table."""
    return list(csv.DictReader(io.StringIO(door.get(f"/cases/{key}/followup.csv").text)))


@pytest.mark.req("REQ-201")
def test_scores_are_entered_survive_a_restart_and_are_taken_back(tmp_path: Path) -> None:
    """By the published formula 5 (10 - pain) + 5/3 sum: pain 5 and ten ones give 41.67, pain 1 and ten threes 95;
    the change of 53.3 stands in the table after a restart, and undo takes the last visit back."""
    with opened(tmp_path, QUICK) as door:
        key = operated(door)
        assert ases(door, key, day(-2), "5", "1").status_code == 303
        assert ases(door, key, day(30), "1", "3").status_code == 303
    with opened(tmp_path, QUICK) as door:
        found = {(row["kind"], row["day"]): row["value"] for row in rows(door, key) if row["name"] == "ases"}
        assert float(found["score", day(-2)]) == pytest.approx(25 + 50 / 3)
        assert float(found["score", day(30)]) == pytest.approx(95)
        assert float(found["change", day(30)]) == pytest.approx(95 - 25 - 50 / 3)
        assert send(door, key, "undo").status_code == 303
        assert [row["day"] for row in rows(door, key)] == [day(-2)]
        send(door, key, "redo")
        send(door, key, "without-visit", day=day(-2))
        assert [row["day"] for row in rows(door, key)] == [day(30)]


def test_how_pain_was_asked_is_entered_and_shown(door: Door) -> None:
    """The way of measuring stands beside the score, on the page and in the table; it is asked of two scores."""
    key = operated(door)
    assert words(door, key).count("How it was measured") == 2
    assert send(door, key, "score", score="vas", day=day(13), how="at night", **{"pain.0": "4"}).status_code == 303
    assert "measured so: at night" in words(door, key)
    assert "measured so: at night" in rows(door, key)[0]["note"]


@pytest.mark.req("REQ-206")
def test_the_course_stands_beside_published_means_and_limits(door: Door) -> None:
    """Two scores are drawn with the published mean of 5.77 months (203 repairs, 2020) beside them, and each limit of
    the score says whether the change of 53.3 reached it."""
    key = operated(door)
    ases(door, key, day(-2), "5", "1")
    ases(door, key, day(30), "1", "3")
    page = words(door, key)
    assert 'class="plot" viewBox="0 0 560 210" role="img" aria-label="ASES, patient\'s part: month -0.5: 41.7;' in page
    assert "mcid 5.8" in page
    assert "+53.3" in page
    assert f"Reached: {day(30)}." in page
    assert "A mean of a group, not this patient's deadline" in page


@pytest.mark.req("REQ-201")
def test_what_cannot_be_is_refused_and_leaves_no_trace(door: Door) -> None:
    """Answers beyond their range, a day to come, imaging before the operation, an unversioned two-way score, a stale
    form and an unknown one are refused in a sentence; the record stays empty."""
    key = operated(door)
    before = door.board(key)["seq"]
    tomorrow = (TODAY + timedelta(days=1)).isoformat()
    refused = [
        ases(door, key, day(30), "11", "1"),
        ases(door, key, day(30), "1", "2.5"),
        ases(door, key, tomorrow, "1", "1"),
        ases(door, key, "", "1", "1"),
        send(door, key, "score", score="ases", day=day(3)),
        send(door, key, "score", score="oss", day=day(3), **{"items.0": "1"}),
        send(door, key, "image", day=day(-3), imaging="MR", mr_type="II"),
        send(door, key, "image", day=day(30), imaging="MR"),
        send(door, key, "complication", day=day(-1), kind="pain"),
        send(door, key, "explode"),
    ]
    assert [answer.status_code for answer in refused] == [422] * len(refused)
    assert all(answer.json()["error"] for answer in refused)
    stale = door.post(f"/cases/{key}/followup/undo", data={"expected": str(before - 1)})
    assert (stale.status_code, door.board(key)["seq"]) == (409, before)
    assert rows(door, key) == []


@pytest.mark.req("REQ-202")
def test_an_answer_left_empty_gives_no_score_of_what_is_left(door: Door) -> None:
    """With nine of ten items this score has none (its missing-item rule), and the page says why."""
    key = operated(door)
    told = {f"function.{item}": "2" for item in range(9)}
    assert send(door, key, "score", score="ases", day=day(13), **{"pain.0": "2"}, **told).status_code == 303
    (row,) = rows(door, key)
    assert (row["name"], row["value"]) == ("ases", "")
    assert row["note"]
    assert row["note"].split(";")[0] in words(door, key)


@pytest.mark.req("REQ-203")
def test_no_image_is_called_healed_before_its_time(door: Door) -> None:
    """Whole on ultrasound at week 13 is kept and not called healed; type II at week 27 is; type V is torn at once."""
    key = operated(door)
    send(door, key, "image", day=day(13), imaging="ultrasound", whole="yes")
    send(door, key, "image", day=day(27), imaging="MR", mr_type="II")
    assert [row["value"] for row in rows(door, key)] == ["", "healed"]
    assert "not called healed before week 26" in words(door, key)
    send(door, key, "image", day=day(14), imaging="MR", mr_type="V")
    assert [row["value"] for row in rows(door, key)] == ["", "torn again", "healed"]
    assert "Torn again on imaging" in words(door, key)


@pytest.mark.req("REQ-204")
def test_no_sheet_prints_before_the_release_and_none_after_it_lapsed(door: Door) -> None:
    """Sheets are refused until protocol, the word on the repair and a release stand; a changed tear ends the release;
    undo of the change brings it back; not done as planned ends it too."""
    key = operated(door)
    sheets = [f"/cases/{key}/rehabilitation/{reader}.pdf" for reader in ("patient", "therapist")]

    def printable() -> set[int]:
        return {door.get(sheet).status_code for sheet in sheets}

    words(door, key)
    assert "still being worked out" not in words(door, key)
    assert printable() == {409}
    assert send(door, key, "release", by="surgeon", call="ward 3").status_code == 422
    send(door, key, "protocol", name="Ward A", version="3", **WEEKS)
    assert send(door, key, "release", by="surgeon", call="ward 3").status_code == 422
    send(door, key, "as-planned", as_planned="yes")
    assert send(door, key, "release", by="surgeon", call="").status_code == 422
    assert printable() == {409}
    assert send(door, key, "release", by="surgeon", call="ward 3").status_code == 303
    assert printable() == {200}
    assert door.get(f"{sheets[0]}?large=1").content != door.get(sheets[0]).content
    assert door.board(key)["undo"] == "sheets released by surgeon"
    door.give(key, "set-measures", {"values": {"tear.tissue": "poor"}})
    assert printable() == {409}
    assert "has lapsed" in words(door, key)
    door.give(key, "undo")
    assert printable() == {200}
    send(door, key, "as-planned", as_planned="no")
    assert printable() == {409}
    assert "no week of it holds" in words(door, key)


@pytest.mark.req("REQ-204")
def test_no_release_while_a_possible_delay_is_being_worked_out(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    """As long as what the repair holds is not settled, the release is refused and the page says so."""
    monkeypatch.setattr(Settling, "_worker", lambda _: Never())
    assert "it may delay a step" in words(door, operated(door, "large_l_shaped"))
    key = operated(door, "elderly_soft_bone")
    send(door, key, "protocol", name="Ward A", version="3", **WEEKS)
    send(door, key, "as-planned", as_planned="yes")
    answer = send(door, key, "release", by="surgeon", call="ward 3")
    assert answer.status_code == 409
    assert "still being worked out" in answer.json()["error"]


@pytest.mark.req("REQ-205")
def test_no_step_stands_before_the_week_of_the_protocol(door: Door) -> None:
    """The typed weeks stand as they are or later; without a day of the operation nothing is dated."""
    key = operated(door)
    send(door, key, "protocol", name="Ward A", version="3", **WEEKS)
    page = words(door, key)
    for caution in GENERAL:
        assert caution in page
    assert "<b>week 13</b>" in page
    assert day(13) in page
    door.give(key, "set-measures", {"values": {"identity.operation_date": None}})
    page = words(door, key)
    assert page.count("needs the day of the operation") == 2
    assert day(13) not in page
    assert door.get(f"/cases/{key}/followup.csv").status_code == 422


@pytest.mark.req("REQ-201")
def test_a_record_that_a_later_day_contradicts_is_shown_and_can_be_mended(door: Door) -> None:
    """Once the day of the operation moves behind an image, the page says so and lets the visit be taken out."""
    key = operated(door)
    send(door, key, "image", day=day(10), imaging="ultrasound", whole="no")
    door.give(key, "set-measures", {"values": {"identity.operation_date": day(20)}})
    page = words(door, key)
    assert f"Not computed: imaging on {day(10)} shows no repair yet" in page
    assert f"Visit of {day(10)}" in page
    assert send(door, key, "without-visit", day=day(10)).status_code == 303
    assert "Nothing is on record yet" in words(door, key)


@pytest.mark.req("REQ-204")
def test_released_sheets_are_read_back_as_they_were(door: Door) -> None:
    """Stored and read again, both sheets are the same values, what is unknown in them included."""
    key = operated(door)
    board = door.app.state.cases.now(key).board
    protocol = Protocol("Ward A", "3", 6, 2, 6, 13)
    plan = rehabilitation(
        board.sheet, load_book(), protocol=protocol, as_planned=True, release=Release("surgeon", TODAY, False)
    )
    sheets = SheetsReleased(released_sheets(board.sheet, plan, load_book(), call="ward 3", of="x"))
    kind, payload = caring_entry(sheets)
    assert caring_change(kind, json.loads(json.dumps(payload))) == sheets
