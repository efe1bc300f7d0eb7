"""Care after and around the operation: each input taken away in turn is named wherever something changes."""

from dataclasses import replace
from datetime import date

import pytest

from cuffwright.case.followup import FollowUp, Seen, Visit
from cuffwright.case.measurement import Measurement
from cuffwright.case.tissues import Biceps, Subscapularis
from cuffwright.course.following import followed
from cuffwright.course.perioperative import perioperative
from cuffwright.course.rehabilitation import rehabilitation
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from tests.outcome.answers import answers, total
from tests.outcome.test_scores import CONSTANT
from tests.rehab.shoulders import PROTOCOL, case, gap, held

SHOULDER = replace(
    case(4.0, tissue="poor"),
    biceps=Biceps(torn_share=Measurement(0.0, 0.0, "typed"), unstable=True),
    subscapularis=Subscapularis(torn=True),
)
CARE = {"hold": held(gap(4, 6)), "protocol": PROTOCOL, "as_planned": False}


@pytest.mark.req("REQ-241")
@pytest.mark.parametrize(
    ("path", "without"),
    [
        ("tear.tissue", replace(SHOULDER, tear=replace(SHOULDER.tear, tissue=None))),
        ("biceps.unstable", replace(SHOULDER, biceps=replace(SHOULDER.biceps, unstable=None))),
        ("subscapularis.torn", replace(SHOULDER, subscapularis=Subscapularis())),
        ("identity.operation_date", replace(SHOULDER, identity=replace(SHOULDER.identity, operation_date=None))),
    ],
)
def test_a_plan_with_less_of_the_shoulder_names_what_it_lacks(path, without):
    """Each input of the case whose loss changes cautions, weeks or days stands among what is missing."""
    full, less = (rehabilitation(one, load_book(), protocol=PROTOCOL) for one in (SHOULDER, without))
    assert (full.cautions, full.milestones) != (less.cautions, less.milestones)
    assert any(path in words for words in less.missing)
    assert not any(path in words for words in full.missing)


@pytest.mark.req("REQ-241")
@pytest.mark.parametrize(
    ("gone", "words"),
    [
        ("hold", "gap over many pulls not computed"),
        ("protocol", "no protocol was given"),
        ("as_planned", "planned is not known"),
    ],
)
def test_a_plan_without_hold_protocol_or_the_word_on_the_repair_says_so(gone, words):
    """Each of the three whose loss changes the weeks is named, among what is missing or what is uncertain."""
    full = rehabilitation(SHOULDER, load_book(), **CARE)
    less = rehabilitation(SHOULDER, load_book(), **{**CARE, gone: None})
    assert any(words in said for said in (*less.missing, *less.uncertainty))
    assert not any(words in said for said in (*full.missing, *full.uncertainty))


PRESSURES = {"systolic": 110.0, "mean": 80.0, "height_cm": 36.0, "ankle_cuff": False}
"""All that the pressures are worked out from, and how each is called where it lacks."""
NAMES = {
    "systolic": "systolic pressure",
    "mean": "mean pressure",
    "height_cm": "height of the ear",
    "ankle_cuff": "cuff sits",
}


@pytest.mark.req("REQ-241")
@pytest.mark.parametrize("gone", PRESSURES)
def test_pressures_name_the_input_that_lacks(gone):
    """Without one input what it gave is not computed, and the input is named."""
    full, less = perioperative(load_book(), **PRESSURES), perioperative(load_book(), **{**PRESSURES, gone: None})
    assert any(NAMES[gone] in words for words in (*less.missing, *less.cautions))
    assert not any(NAMES[gone] in words for words in (*full.missing, *full.cautions))
    assert less.space == (None if gone == "systolic" else full.space)
    assert less.brain == (None if gone in {"mean", "height_cm"} else full.brain)


OPERATION = date(2025, 3, 1)
BEFORE = Visit(date(2025, 2, 20), (answers("ases", pain=5, function=total(12)),))
AFTER = Visit(
    date(2025, 9, 5), (answers("ases", pain=3, function=total(22)), answers("constant", **CONSTANT)), Seen("MR", "II")
)
RECORD = FollowUp("demo", "right", OPERATION, (BEFORE, AFTER), (), 61, "male", True)


@pytest.mark.req("REQ-241")
@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"age": None}, "percent of normal not computed, needs age."),
        ({"sex": None}, "percent of normal not computed, needs sex."),
        ({"sex": "other"}, "no table covers this age and sex"),
        ({"as_planned": None}, "done as planned is not known"),
        ({"visits": (AFTER,)}, "Change of ases not computed, needs the same score before the operation"),
        ({"visits": (BEFORE,)}, "Change of ases not computed, needs the same score after the operation"),
        ({"visits": (BEFORE, replace(AFTER, seen=None))}, "whole is not known, needs imaging now"),
    ],
)
def test_a_follow_up_with_less_on_record_names_what_lacks(change, words):
    """Age, sex, the word on the repair, a score on one side of the operation and imaging are named where they lack."""
    told = {
        one: followed(record, load_scores(), load_book(), today=date(2025, 10, 1)).cautions
        for one, record in (("full", RECORD), ("less", replace(RECORD, **change)))
    }
    assert any(words in said for said in told["less"])
    assert not any(words in said for said in told["full"])


def test_imaging_is_asked_for_from_its_week_on():
    """Before week 26 imaging is announced, not asked for (serial MR, J Bone Joint Surg Am 2013)."""
    told = followed(replace(RECORD, visits=(BEFORE,)), load_scores(), load_book(), today=date(2025, 8, 29)).cautions
    assert any("needs imaging from week 26 on" in words for words in told)
