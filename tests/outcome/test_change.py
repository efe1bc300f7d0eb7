"""Change against published limits, percent of the possible, and percent of normal (dossier, d)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import score_table
from cuffwright.outcome.change import change, possible_percent
from cuffwright.outcome.norms import relative
from tests.outcome.answers import scored, total


def ases(value):
    """An ASES score of this value."""
    return (
        scored("ases", pain=(100 - value) / 10, function=total(30 * value / 100)) if value else scored("ases", pain=1)
    )


def default(found, kind):
    """Whether the default limit of a kind was reached."""
    return next(one.reached for one in found.reached if one.threshold.kind == kind and one.threshold.default)


def test_ases_45_to_68_reaches_mcid_only():
    """Change 23: MCID yes (21), SCB no (26), PASS no (78)."""
    found = change(score_table("ases"), ases(45), ases(68))
    assert found.change == pytest.approx(23)
    assert [default(found, kind) for kind in ("mcid", "scb", "pass")] == [True, False, False]


def test_percent_of_the_possible():
    """40 to 85 of 100 is 75.0 percent; from the best nothing was possible."""
    assert possible_percent(40, 85, 100) == 75.0
    assert possible_percent(100, 100, 100) is None
    assert change(score_table("ases"), ases(40), ases(85)).possible_percent == pytest.approx(75.0, abs=1e-2)


def test_lower_is_better_for_pain():
    """Pain 5 to 1.6: better by 3.4, all three limits of 2020 reached, PASS as an upper limit."""
    found = change(score_table("vas"), scored("vas", pain=5), scored("vas", pain=1.6))
    assert found.change == pytest.approx(3.4)
    assert [default(found, kind) for kind in ("mcid", "scb", "pass")] == [True, True, True]
    worse = change(score_table("vas"), scored("vas", pain=5), scored("vas", pain=1.8))
    assert default(worse, "pass") is False


@settings(max_examples=40)
@given(st.floats(0, 10), st.floats(0, 10))
def test_better_is_above_zero_whatever_the_direction(before, after):
    """Less pain is a change above 0, more pain below."""
    found = change(score_table("vas"), scored("vas", pain=before), scored("vas", pain=after))
    assert found.change == pytest.approx(before - after, abs=1e-3)


@pytest.mark.req("REQ-143")
def test_a_missing_score_gives_no_change_and_says_why():
    """Without one of the two scores no change and no limit of change is said; the state after may still be."""
    found = change(score_table("ases"), ases(None), ases(85))
    assert (found.change, found.possible_percent) == (None, None)
    assert found.why.startswith("no score")
    assert (default(found, "mcid"), default(found, "pass")) == (None, True)


def test_ucla_total_before_and_after_are_not_subtracted():
    """The total before has no satisfaction: its change is not computed, and it is said."""
    parts = {"pain": 4, "function": 4, "flexion_degrees": 100, "strength_grade": 4}
    before, after = scored("ucla", "", "before", **parts), scored("ucla", "", "after", **parts, satisfaction=5)
    found = change(score_table("ucla"), before, after)
    assert found.change is None
    assert "30 before and 35 after" in found.why


def test_percent_of_normal_by_every_table_with_the_absolute_beside_it():
    """71 is 77.2 percent of 92 and 85.5 of 83 (men and women of 60 to 69 in one table of 2005)."""
    facts = Citing(load_book())
    man = {one.table: one for one in relative(71, 65, "male", facts)}
    woman = {one.table: one for one in relative(71, 65, "female", facts)}
    assert (man["2005b"].norm, man["2005b"].percent) == (92, 77.2)
    assert (woman["2005b"].norm, woman["2005b"].percent) == (83, 85.5)
    assert set(man) == {"1986", "2005a", "2005b"}
    assert all(one.absolute == 71 and not one.verified for one in (*man.values(), *woman.values()))
    assert [one.table for one in relative(71, 19, "male", facts)] == ["2005b"]


@pytest.mark.parametrize(("age", "sex"), [(None, "male"), (65, None), (65, "other")])
def test_no_norm_is_assumed(age, sex):
    """Without age or sex no percent of normal is given."""
    assert relative(71, age, sex, Citing(load_book())) == ()


def test_limits_that_disagree_all_stand():
    """ASES has MCID from 11.1 to 27.1, WORC 13.5 and 26, UCLA 3 to 10; the default of ASES is 21."""
    for name, ends in (("ases", (11.1, 27.1)), ("worc", (13.5, 26)), ("ucla", (3, 10))):
        limits = [one for one in score_table(name).thresholds if one.kind == "mcid"]
        assert (min(one.value for one in limits), max(one.value for one in limits)) == ends
        assert sum(one.default for one in limits) <= 1
    assert next(one.value for one in score_table("ases").thresholds if one.default and one.kind == "mcid") == 21


def test_a_limit_that_is_just_reached_counts():
    """Pain better by exactly 1.5 and a state of exactly 1.7 are reached (Am J Sports Med 2020)."""
    found = change(score_table("vas"), scored("vas", pain=3.2), scored("vas", pain=1.7))
    assert [default(found, kind) for kind in ("mcid", "scb", "pass")] == [True, False, True]
