"""A practice's follow-ups added up: who counts when, what blocks a comparison, what a chart needs, what is said."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.followup import Complication, FollowUp, Seen, Visit
from cuffwright.course.general import GENERAL
from cuffwright.course.practice import practised
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from tests.outcome.answers import answers, total

TODAY = date(2026, 11, 25)
BEGAN = date(2024, 1, 1)


def repair(number: int, mr_type: str | None = "II", week: float = 30, **more) -> FollowUp:
    """One invented repair, three days after the one before, seen on MR in this week."""
    day = BEGAN + timedelta(days=3 * number)
    visits = () if mr_type is None else (Visit(day + timedelta(weeks=week), seen=Seen("MR", mr_type)),)
    return replace(FollowUp(f"p{number:03}", "right", day, visits, (), 55, "female", True), **more)


def added(*records, today=TODAY, **more):
    """What they add up to."""
    return practised(records, load_scores(), load_book(), today=today, **more)


def series(count: int, torn: int, lost: int = 0) -> tuple[FollowUp, ...]:
    """So many repairs, the first ones torn again, the last ones lost."""
    return tuple(repair(n, "V" if n < torn else None if n >= count - lost else "I") for n in range(count))


@pytest.mark.req("REQ-242")
def test_the_worked_example_of_lost_patients():
    """100 repairs, 20 lost, 12 failed: 12.0, 15.0, 32.0 percent, all three always (dossier, h)."""
    found = added(*series(100, 12, 20))
    assert (found.due, found.lost, found.failed) == (100, 20, 12)
    assert (found.bounds.best, found.bounds.complete, found.bounds.worst) == pytest.approx((0.12, 0.15, 0.32))
    assert found.followed_share == 0.8


@pytest.mark.req("REQ-242")
def test_no_target_below_80_percent_followed_and_a_warning_below_60():
    """79 of 100 seen: no comparison, and why; 80: compared; 59: warned of (nine cohorts, Arthroscopy 2020)."""
    assert added(*series(100, 12, 21)).funnels == ()
    assert "79% were followed, needs 80%" in added(*series(100, 12, 21)).not_compared
    assert len(added(*series(100, 12, 20)).funnels) == 2
    assert not any("the lost may differ" in words for words in added(*series(100, 12, 40)).cautions)
    assert any("59% were followed" in words for words in added(*series(100, 12, 41)).cautions)


def test_both_targets_stand_side_by_side_with_their_people():
    """20 of 100 torn: within the limits of the expert, far better than the hospitals: the targets disagree, both shown;
    below 100 seen the limits are those of counts."""
    hospitals, expert = added(*series(100, 20)).funnels
    assert (hospitals.where, expert.where) == ("outside both limits", "within both limits")
    assert "47 hospitals" in hospitals.people
    assert (hospitals.exact, added(*series(99, 20)).funnels[0].exact) == (False, True)


@pytest.mark.req("REQ-242")
def test_a_repair_counts_from_week_26_on_and_only_by_an_image_that_decides():
    """Day 181 waits and day 182 is due; whole in week 20 decides nothing; torn in week 20 does."""
    one = repair(0, None)
    assert added(one, today=BEGAN + timedelta(days=181)).waiting == 1
    assert added(one, today=BEGAN + timedelta(days=182)).due == 1
    early = added(repair(0, "I", 20), repair(1, "V", 20))
    assert (early.lost, early.failed) == (1, 1)


@pytest.mark.req("REQ-241")
def test_a_repair_without_age_or_image_is_named_as_not_on_the_chart():
    """No risk is assumed: age and image are asked for by name."""
    found = added(repair(0, age=None), repair(1, None), repair(2))
    assert [one.patient for one in found.chart] == ["p002"]
    assert any("p000" in words and "needs age" in words for words in found.left_out)
    assert any("p001" in words and "needs an image" in words for words in found.left_out)


def test_the_chart_takes_its_risk_from_the_age_until_fifty_own_repairs_have_moved_it():
    """55 years: 10 % (J Bone Joint Surg Am 2017). With 60 repairs, 10 of the first 50 torn: 20 %, ten on the chart."""
    few = added(*series(50, 10))
    assert {one.risk for one in few.chart} == {0.10}
    assert any("the chart measures the model" in words for words in few.cautions)
    many = added(*series(60, 10))
    assert (many.calibrated_on, len(many.chart)) == (50, 10)
    assert many.chart[0].risk == pytest.approx(0.20)
    assert not any("the chart measures the model" in words for words in many.cautions)
    none = added(*series(60, 0))
    assert (none.calibrated_on, none.shift, len(none.chart)) == (0, None, 60)


@pytest.mark.req("REQ-243")
def test_a_run_of_failures_signals_and_a_review_starts_anew():
    """Each failure at 10 % adds ln(2 / 1.1) = 0.598: the eighth passes 4.5. After a review the score is that of one."""
    found = added(*series(9, 9))
    assert [one.signal for one in found.chart] == [False] * 7 + [True] * 2
    assert any("no verdict" in words for words in found.cautions)
    anew = added(*series(9, 9), reviewed=(found.chart[7].operation_date,))
    assert anew.chart[8].score == pytest.approx(0.598, abs=1e-3)
    assert [one.signal for one in added(*series(9, 9), limit=5.3).chart].count(True) == 1


def test_a_run_of_whole_repairs_signals_on_the_second_chart():
    """Each whole repair at 34 % adds ln(1 / 0.83) = 0.1863 at half the odds: the 22nd passes 4 (Biostatistics 2000)."""
    found = added(*(repair(n, age=82) for n in range(23)))
    assert found.chart[0].better == pytest.approx(0.1863, abs=1e-4)
    assert [one.improved for one in found.chart] == [False] * 21 + [True] * 2
    assert not any(one.signal for one in found.chart)


def test_limits_of_scores_and_events_are_counted_with_the_unknown_apart():
    """One of three answered: 1 of 1, two not known; stiffness in week 10 counts, in week 30 not; published 7.6 %."""
    day = BEGAN
    told = tuple(
        Visit(day + timedelta(weeks=weeks), (answers("ases", pain=pain, function=total(sum_)),))
        for weeks, pain, sum_ in ((-1, 5, 12), (40, 1, 27))
    )
    stiff = [(Complication("stiffness", BEGAN + timedelta(weeks=weeks)),) for weeks in (10, 30)]
    found = added(repair(0, visits=told, complications=stiff[0]), repair(1, complications=stiff[1]), repair(2, "III"))
    mcid = next(one for one in found.scores if one.kind == "mcid")
    assert (mcid.reached, mcid.of, mcid.unknown, mcid.limit) == (1, 1, 2, 21)
    event = next(one for one in found.events if one.kind == "stiffness")
    assert (event.count, event.of, event.published) == (1, 3, 0.076)


@pytest.mark.req("REQ-151")
def test_the_cautions_stand_and_the_impossible_is_refused():
    """All five cautions; no follow-up, one twice, a day to come and a limit of 0 are refused in a sentence."""
    assert added(repair(0)).general == GENERAL
    for records, more, words in (
        ((), {}, "no follow-up"),
        ((repair(0), repair(0)), {}, "stands twice"),
        ((repair(0),), {"today": date(2023, 1, 1)}, "lies after"),
        ((repair(0),), {"limit": 0.0}, "above 0"),
    ):
        with pytest.raises(CaseError, match=words):
            added(*records, **more)
