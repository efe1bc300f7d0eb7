"""Rehabilitation: worked examples of the dossier (section e), and that it only ever delays or cautions."""

from dataclasses import replace
from datetime import date, timedelta
from math import exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.body import Reduction
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Interval
from cuffwright.case.rehab import STEPS, Protocol, Release
from cuffwright.case.tissues import Biceps, Subscapularis
from cuffwright.course.rehabilitation import rehabilitation
from cuffwright.evidence.book import load_book
from cuffwright.rehab.healing_bound import regained
from cuffwright.rehab.rules import rules
from tests.rehab.shoulders import OPERATION, PROTOCOL, RELEASE, case, gap, held


def plan(sheet=None, **more):
    """The rehabilitation of a case."""
    return rehabilitation(sheet or case(), load_book(), **more)


def test_small_tear_of_1_march_is_not_strengthened_before_24_may():
    """Small, repaired 1 March 2025: not before 24 May 2025, 84 days (consensus of 2016)."""
    step = plan().milestone("strengthening")
    assert step.day == date(2025, 5, 24)
    assert step.day - OPERATION == timedelta(days=84)


def test_a_protocol_that_strengthens_earlier_is_held_back_and_said():
    """A surgeon's week 8 becomes week 12, with the consensus as the reason; week 14 stays 14."""
    early = plan(protocol=replace(PROTOCOL, strengthening_week=8)).milestone("strengthening")
    assert (early.own_week, early.proposed_week) == (8, 12)
    assert [late.verified for late in early.delays] == [True]
    late = plan(protocol=replace(PROTOCOL, strengthening_week=14)).milestone("strengthening")
    assert (late.proposed_week, late.delays) == (14, ())


def test_consensus_phases():
    """0-6, 6-12, 12-20, 20-26 weeks; passive motion from week 2 (J Shoulder Elbow Surg 2016)."""
    found = plan()
    assert [(start, end) for _, start, end in found.consensus] == [(0, 6), (6, 12), (12, 20), (20, 26)]
    assert found.milestone("passive motion").consensus_week == 2


@pytest.mark.parametrize(("width", "weeks"), [(0.9, (6, 6, 12)), (2, (6, 6, 12)), (4, (6, 8, 12)), (5, (8, 12, 16))])
def test_practice_scaled_by_size_may_only_come_later(width, weeks):
    """Sling, active motion, strengthening by size, later end (practice, memory): never before the consensus."""
    found = plan(case(width))
    steps = ("sling ends", "active motion", "strengthening")
    assert tuple(found.milestone(step).proposed_week for step in steps) == weeks
    assert any(key.startswith("rehab.size") for key in found.unverified)


@pytest.mark.parametrize(("width", "passive", "cautions"), [(3.0, 2, 0), (3.1, 2, 1), (5.0, 2, 1), (5.1, 6, 0)])
def test_early_motion_is_allowed_warned_of_and_blocked_by_size(width, passive, cautions):
    """Up to 3 cm allowed, above a caution, above 5 cm blocked: 52.2 against 22.6 % retears (Am J Sports Med 2015)."""
    found = plan(case(width), protocol=PROTOCOL)
    step = found.milestone("passive motion")
    assert step.proposed_week == passive
    assert len([words for words in found.cautions if "Early motion" in words]) == cautions
    if passive == 6:
        assert "52.2% retears against 22.6%" in step.delays[0].words


@pytest.mark.parametrize(("weeks", "share"), [(6, 0.30), (12, 0.51), (26, 0.79)])
def test_strength_of_sheep_is_an_upper_bound_from_memory(weeks, share):
    """1 - exp(-t / 16.7): 0.30, 0.51, 0.79 at 6, 12, 26 weeks (J Bone Joint Surg Am 1999), unverified."""
    assert (
        regained(weeks, Citing(load_book())) == pytest.approx(1 - exp(-weeks / 16.7)) == pytest.approx(share, abs=5e-3)
    )
    assert (weeks, share) in plan().bound
    assert "rehab.heal.time" in plan().unverified


@pytest.mark.req("REQ-147")
def test_without_a_hold_result_the_gap_over_many_pulls_is_named_as_missing():
    """No hold result: not computed, needs what the repair holds; nothing is assumed of it."""
    assert any(words.startswith("gap over many pulls not computed, needs") for words in plan().missing)
    body = replace(held(gap(1, 2)), body=replace(held(gap(1, 2)).body, cycles=None))
    assert any("compiled kernels" in words for words in plan(hold=body).missing)


@pytest.mark.req("REQ-147")
@pytest.mark.parametrize(
    ("final", "lost", "later"), [(gap(1, 2), None, 0), (gap(4, 5.1), None, 2), (None, "hole 1aF", 2)]
)
def test_the_cyclic_gap_may_delay_loading(final: Interval | None, lost, later):
    """A gap whose upper end passes 5 mm, or a repair that gave way, puts loading two weeks later and cautions."""
    found = plan(hold=held(final, lost), protocol=PROTOCOL)
    assert found.milestone("strengthening").proposed_week == 12 + later
    assert found.milestone("active motion").proposed_week == 6 + later
    assert bool([words for words in found.cautions if "In the model" in words]) == bool(later)


weeks = st.floats(0, 30).map(lambda x: round(x, 1))
protocols = st.builds(
    Protocol,
    name=st.just("a"),
    version=st.just("1"),
    sling_ends_week=weeks,
    passive_week=weeks,
    active_week=weeks,
    strengthening_week=weeks,
)
holds = st.none() | st.builds(held, st.none() | st.floats(0.1, 12).map(lambda x: gap(x, x * 2)))


@pytest.mark.req("REQ-148")
@settings(max_examples=60)
@given(st.floats(0.1, 8), protocols, holds)
def test_no_step_ever_comes_before_the_surgeons_week(width, protocol, hold):
    """Whatever the tear, the protocol and the model: delayed or as set, never advanced."""
    found = plan(case(width), protocol=protocol, hold=hold)
    for step in STEPS:
        one = found.milestone(step)
        assert one.proposed_week >= protocol.week(step)
        assert one.proposed_week == max([protocol.week(step), *(late.week for late in one.delays)])
    assert found.milestone("strengthening").proposed_week >= 12


@pytest.mark.req("REQ-148")
@settings(max_examples=30)
@given(st.floats(0.1, 8), holds)
def test_a_hold_result_never_brings_a_step_forward(width, hold):
    """With what the repair holds each step comes at the same week or later than without it."""
    without, with_it = plan(case(width)), plan(case(width), hold=hold)
    for step in STEPS:
        assert with_it.milestone(step).proposed_week >= without.milestone(step).proposed_week


@pytest.mark.req("REQ-143")
@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tissue": "poor"}, "Poor tissue"),
        ({"tendons": ("supraspinatus", "subscapularis")}, "Subscapularis torn"),
    ],
)
def test_tissue_and_subscapularis_caution_where_known_and_are_missed_where_not(change, words):
    """A known sign cautions; an unknown one stands among what is missing, never as normal."""
    assert any(words in said for said in plan(case(**change)).cautions)
    assert any("tear.tissue" in said for said in plan().missing)
    assert any("subscapularis.torn" in said for said in plan().missing)
    assert not plan(case(tissue="good")).cautions


def test_the_biceps_is_asked_for():
    """An unstable biceps cautions; an intact one neither cautions nor is missing."""
    torn = plan(replace(case(), biceps=Biceps(unstable=True)))
    assert any("Biceps" in said for said in torn.cautions)
    sound = plan(replace(case(), subscapularis=Subscapularis(torn=False)))
    assert not any("subscapularis" in said for said in sound.missing)


def test_uncertainty_comes_first_and_an_unplanned_repair_voids_the_plan():
    """What is not known stands first; done otherwise: void; not told: it holds only if done as planned."""
    assert "not known" in plan().uncertainty[0]
    assert "holds only if it was" in plan().uncertainty[-1]
    assert plan(as_planned=False).void
    assert plan(as_planned=False).milestones == ()
    assert not plan(as_planned=True).void


@pytest.mark.req("REQ-149")
@pytest.mark.parametrize(
    ("sheet", "more", "words"),
    [
        (case(), {"as_planned": True}, "own protocol"),
        (case(), {"protocol": PROTOCOL}, "as planned"),
        (case(), {"protocol": PROTOCOL, "as_planned": False}, "as planned"),
        (
            replace(case(), identity=replace(case().identity, operation_date=None)),
            {"protocol": PROTOCOL, "as_planned": True},
            "day of the operation",
        ),
    ],
)
def test_a_release_needs_protocol_day_and_the_word_that_it_was_done_as_planned(sheet, more, words):
    """A release without one of the three is refused in a sentence."""
    with pytest.raises(CaseError, match=words):
        plan(sheet, release=RELEASE, **more)


def test_another_shoulders_hold_is_refused():
    """What another side holds is not taken."""
    with pytest.raises(CaseError, match="another patient or side"):
        plan(hold=replace(held(gap(1, 2)), side="left"))


def test_impossible_protocols_and_releases_are_refused():
    """No name, no version, a week below 0, a release by nobody."""
    for change in ({"name": " "}, {"version": ""}, {"active_week": -1.0}):
        with pytest.raises(CaseError):
            replace(PROTOCOL, **change)
    with pytest.raises(CaseError, match="by whom"):
        Release(" ", OPERATION, delays_taken=True)


def test_every_rule_is_found():
    """The folder of rules holds eight."""
    assert len(rules()) == 8


@pytest.mark.req("REQ-148")
@settings(max_examples=30)
@given(protocols)
def test_no_day_comes_before_its_week_is_over(protocol):
    """A week and a half end on the eleventh day: a part of a day counts as a whole one."""
    for one in plan(protocol=protocol).milestones:
        late = (one.day - OPERATION).days - 7 * one.proposed_week
        assert -1e-9 <= late < 1


@pytest.mark.parametrize(
    ("biceps", "cautions"),
    [
        (Biceps(torn_share=Measurement(0.3, 0.0, "typed"), unstable=False), 1),
        (Biceps(torn_share=Measurement(0.0, 0.0, "typed"), unstable=True), 1),
        (Biceps(torn_share=Measurement(0.0, 0.0, "typed"), unstable=False), 0),
    ],
)
def test_a_biceps_torn_or_unstable_cautions(biceps, cautions):
    """Either sign is enough; a whole and stable biceps is neither a caution nor missing."""
    found = plan(replace(case(), biceps=biceps))
    assert len([words for words in found.cautions if words.startswith("Biceps")]) == cautions
    assert not any("biceps" in words for words in found.missing)


@pytest.mark.parametrize(("verdict", "cautions"), [("reducible", 0), ("caution", 1)])
def test_a_tendon_that_is_tight_cautions_of_the_sling(verdict, cautions):
    """A reducible edge says nothing; any other verdict of the same hold result cautions; unknown is missing."""
    reduction = Reduction(gap(10, 20), 1.0, 0.1, 0, 0, 35.0, 0.0, verdict, "the edge is tight")
    hold = held(gap(1, 2))
    found = plan(hold=replace(hold, body=replace(hold.body, reduction=reduction)))
    assert len([words for words in found.cautions if words.startswith("Tension: the edge is tight")]) == cautions
    assert not any("tension at rest" in words for words in found.missing)
    assert any("tension at rest" in words for words in plan(hold=hold).missing)
