"""Follow-up of one patient: due dates, healing not before its time, recovery, the table."""

import csv
import io
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.followup import Complication, FollowUp, Seen, Visit
from cuffwright.course.following import followed
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from cuffwright.exchange.followup_file import COLUMNS, followup_csv, read_followup
from cuffwright.outcome.integrity import imaged
from cuffwright.outcome.visits import due_visits
from tests.outcome.answers import answers, total

OPERATION = date(2025, 3, 1)


def ases(pain, function):
    """ASES answers."""
    return answers("ases", pain=pain, function=total(function))


RECORD = FollowUp(
    "demo",
    "right",
    OPERATION,
    (
        Visit(date(2025, 2, 20), (ases(5, 12),)),
        Visit(date(2025, 6, 3), (ases(4, 18),)),
        Visit(date(2025, 9, 5), (ases(3, 22),), Seen("MR", "III")),
    ),
    (Complication("stiffness", date(2025, 5, 1), "=1+1"),),
    61,
    "male",
)


def worked(record=RECORD, today=date(2025, 10, 1)):
    """The follow-up worked out."""
    return followed(record, load_scores(), load_book(), today=today)


def test_visits_are_due_at_six_weeks_and_three_six_twelve_and_24_months():
    """Days lie 6, 13, 26, 52, 104 weeks after the operation; the day lies in its window; windows do not overlap."""
    found = due_visits(OPERATION, (), date(2025, 1, 1), Citing(load_book()))[1:]
    assert [(one.day - OPERATION).days // 7 for one in found] == [6, 13, 26, 52, 104]
    assert all(one.opens <= one.day <= one.closes for one in found)
    assert all(one.closes < other.opens for one, other in pairwise(found))
    assert {one.state for one in found} == {"not yet"}
    assert not any(one.window_verified for one in found)


def test_a_visit_is_open_overdue_missed_or_done():
    """The state follows the day: before the window, in it, past the day, past the window, or seen."""
    states = []
    for weeks in (4, 5, 7, 9):
        today = OPERATION + timedelta(weeks=weeks)
        states.append(due_visits(OPERATION, (), today, Citing(load_book()))[1].state)
    assert states == ["not yet", "open", "overdue", "missed"]
    done = due_visits(OPERATION, (OPERATION + timedelta(weeks=6),), OPERATION + timedelta(weeks=9), Citing(load_book()))
    assert done[1].state == "done"
    assert done[0].state == "missed"


@pytest.mark.req("REQ-146")
@pytest.mark.parametrize(
    ("weeks", "mr_type", "said"),
    [(25.9, "I", None), (26, "III", "healed"), (26, "IV", "torn again"), (8, "V", "torn again")],
)
def test_nothing_is_called_healed_before_26_weeks(weeks, mr_type, said):
    """Types I to III healed, IV and V torn again, the raw type kept; no "healed" before week 26 (serial MR, 2013)."""
    found = imaged(OPERATION, OPERATION + timedelta(weeks=weeks), Seen("MR", mr_type), Citing(load_book()))
    assert (found.said, found.mr_type) == (said, mr_type)
    assert f"type {mr_type}" in found.words


def test_ultrasound_has_no_types():
    """Ultrasound says whole or not; a type with it, and MR without one, are refused."""
    late = OPERATION + timedelta(weeks=30)
    assert imaged(OPERATION, late, Seen("ultrasound", whole=True), Citing(load_book())).said == "healed"
    with pytest.raises(CaseError, match="no type I to V"):
        Seen("ultrasound", mr_type="I", whole=True)
    with pytest.raises(CaseError, match="no type"):
        Seen("MR")


def test_change_is_counted_from_the_visit_before_the_operation():
    """45 before, 60 and 71.7 after: changes 15 and 26.7 (MCID and SCB of the default, not PASS)."""
    first, second = (one for _, one in worked().changes)
    assert (first.change, second.change) == pytest.approx((15, 26.6667), abs=1e-3)
    said = {one.threshold.kind: one.reached for one in second.reached if one.threshold.default}
    assert said == {"mcid": True, "scb": True, "pass": False}


def test_recovery_stands_beside_the_published_months():
    """Published means of 5.77, 6.22 and 7.23 months (203 repairs), each with the value it stands for here."""
    (curve,) = worked().recovery
    assert [point.value for point in curve.points] == pytest.approx([45, 60, 71.6667], abs=1e-3)
    assert curve.published == (("mcid", 5.77, 66.0), ("scb", 6.22, 71.0), ("pass", 7.23, 78.0))
    assert curve.points[-1].months == pytest.approx(6.2)


def test_what_is_not_known_is_said():
    """Not known whether done as planned: said; done otherwise: no sheet of the plan holds."""
    assert any("nothing planned is shown as done" in words for words in worked().cautions)
    other = worked(replace(RECORD, as_planned=False))
    assert any("no sheet made from the plan holds" in words for words in other.cautions)
    alone = worked(replace(RECORD, visits=RECORD.visits[1:]))
    assert any("needs the same score before the operation" in words for words in alone.cautions)
    assert alone.changes == ()


def test_impossible_records_are_refused():
    """A visit after today, two on one day, a complication before the operation, an unknown score."""
    with pytest.raises(CaseError, match="after today"):
        worked(today=date(2025, 4, 1))
    with pytest.raises(CaseError, match="two visits"):
        replace(RECORD, visits=(RECORD.visits[0], RECORD.visits[0]))
    with pytest.raises(CaseError, match="before the operation"):
        replace(RECORD, complications=(Complication("pain", date(2025, 1, 1)),))
    with pytest.raises(CaseError, match="there is no score"):
        worked(replace(RECORD, visits=(Visit(date(2025, 5, 1), (answers("smile", a=1),)),)))


def test_the_table_holds_scores_changes_limits_images_and_events():
    """The CSV reads back with its columns; text that a table program would run is made harmless."""
    rows = list(csv.DictReader(io.StringIO(followup_csv(worked()))))
    assert tuple(rows[0]) == COLUMNS
    assert {row["kind"] for row in rows} == {
        "score",
        "change",
        "reached mcid",
        "reached scb",
        "reached pass",
        "imaging",
        "complication",
    }
    last = [row for row in rows if row["kind"] == "score"][-1]
    assert (float(last["value"]), last["low"], last["high"], last["day"]) == (71.6667, "0", "100", "2025-09-05")
    assert next(row["note"] for row in rows if row["kind"] == "complication") == "'=1+1"


TEXT = """format = 1
patient = "demo"
side = "right"
operation_date = 2025-03-01
age = 61
sex = "male"

[[visits]]
day = 2025-02-20
[visits.scores.ases]
pain = 5
function = { total = 12.0 }

[[visits]]
day = 2025-06-03
[visits.scores.ases]
pain = 4
function = { total = 18.0 }

[[visits]]
day = 2025-09-05
seen = { imaging = "MR", mr_type = "III" }
[visits.scores.ases]
pain = 3
function = [2, 2, 2, 2, 2, 2, 2, 2, 3, 3]

[[complications]]
kind = "stiffness"
day = 2025-05-01
words = "=1+1"
"""


def test_the_file_gives_the_same_follow_up():
    """The TOML file and the values in code give the same changes; a wrong field is refused by name."""
    assert [one.change for _, one in worked(read_followup(TEXT)).changes] == [one.change for _, one in worked().changes]
    with pytest.raises(CaseError, match="smile"):
        read_followup(TEXT.replace("age = 61", "smile = 61"))
    with pytest.raises(CaseError, match="format = 1"):
        read_followup(TEXT.replace("format = 1", "format = 9"))


def test_windows_and_imaging_of_the_visits():
    """Windows in weeks 5-8, 11-16, 26-34, 48-60, 96-120 (a choice); scores from month 3, imaging from week 26 on."""
    found = due_visits(OPERATION, (), OPERATION, Citing(load_book()))[1:]
    windows = [((one.opens - OPERATION).days // 7, (one.closes - OPERATION).days // 7) for one in found]
    assert windows == [(5, 8), (11, 16), (26, 34), (48, 60), (96, 120)]
    assert [one.scores for one in found] == [False, True, True, True, True]
    assert [one.imaging for one in found] == [False, False, True, True, True]


@pytest.mark.req("REQ-146")
def test_imaging_before_the_operation_says_nothing_of_the_repair():
    """A torn tendon before its repair is no retear: refused; images are told in the order of their days."""
    with pytest.raises(CaseError, match="shows no repair yet"):
        replace(RECORD, visits=(Visit(date(2025, 2, 20), seen=Seen("MR", "V")),))
    two = (Visit(date(2025, 11, 5), seen=Seen("MR", "II")), Visit(date(2025, 6, 3), seen=Seen("MR", "I")))
    found = worked(replace(RECORD, visits=two), date(2026, 1, 1)).integrity
    assert [one.said for one in found] == [None, "healed"]


@pytest.mark.parametrize(("day", "moment"), [(date(2025, 2, 20), "after"), (date(2025, 9, 5), "before")])
def test_answers_that_name_the_wrong_side_of_the_operation_are_refused(day, moment):
    """A total of 30 after the operation, or of 35 before it, would be subtracted from another: refused."""
    parts = {"pain": 4, "function": 4, "flexion_degrees": 100, "strength_grade": 4}
    with pytest.raises(CaseError, match="correct day or moment"):
        replace(RECORD, visits=(Visit(day, (answers("ucla", "", moment, **parts),)),))


def test_how_a_score_was_measured_is_kept_and_two_ways_are_told_apart():
    """Device, arm and lever change the strength (J Shoulder Elbow Surg 2008): kept, asked for, and cautioned of."""
    text = TEXT.replace(".ases]", ".vas]").replace("function = { total = 12.0 }", 'how = "at rest"')
    text = text.replace("function = { total = 18.0 }", 'how = "at night"').split("[[visits]]\nday = 2025-09-05")[0]
    found = worked(read_followup(text))
    assert [one.how for visit in found.visits for one in visit.scores] == ["at rest", "at night"]
    assert "measured so: at rest" in found.visits[0].scores[0].notes
    assert any("vas was measured in 2 ways (at rest; at night)" in words for words in found.cautions)
    assert "measured so: at night" in followup_csv(found)
    untold = worked(read_followup(text.replace('how = "at rest"\n', "")))
    assert any("not told: whether pain at rest" in note for note in untold.visits[0].scores[0].notes)
    assert not any("2 ways" in words for words in untold.cautions)
