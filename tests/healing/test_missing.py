"""No missing input ever changes a result silently: what is known less is said wider, and what lacks is named."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.healing.bonework import all_work, bone_work
from cuffwright.healing.classes import classify
from cuffwright.healing.known import Known
from cuffwright.healing.models import odds
from cuffwright.healing.reasons import reasons, unasked
from tests.healing.shoulders import ALWAYS, facts, whole_shoulders
from tests.sampling import of

pairs = whole_shoulders.flatmap(
    lambda whole: st.tuples(st.just(whole), st.sets(st.sampled_from(sorted(set(whole) - set(ALWAYS)))))
)


def halves(pair):
    """The whole shoulder, and the same with some inputs unknown."""
    whole, gone = pair
    return Known(whole, {}), Known({path: value for path, value in whole.items() if path not in gone}, {}), gone


@pytest.mark.req("REQ-143")
@settings(max_examples=of(24, 200))
@given(pairs)
def test_a_class_with_less_known_still_holds_the_true_one(pair):
    """The class of the whole shoulder is among the possible ones; a class given is the same; what decides is named."""
    whole, part, gone = halves(pair)
    truth = {one.name: one for one in classify(whole, facts())}
    for one in classify(part, facts()):
        assert truth[one.name].value in one.possible
        assert one.value in (None, truth[one.name].value)
        assert (one.value is None) == bool(one.missing)
        assert set(one.missing) <= gone


@pytest.mark.req("REQ-143")
@settings(max_examples=of(24, 200))
@given(pairs)
def test_a_model_with_less_known_spans_the_true_answer_or_names_what_it_needs(pair):
    """Less known never gives another number: the range holds the true one, or what lacks is named."""
    whole, part, gone = halves(pair)
    truth = {one.name: one for one in odds(whole, facts())}
    for one in odds(part, facts()):
        full = truth[one.name]
        if one.low is None:
            assert full.low is None or set(one.missing) & gone
            continue
        assert full.low is not None
        assert full.high is not None
        assert one.high is not None
        assert one.low <= full.low <= full.high <= one.high
        if (one.low, one.high) != (full.low, full.high):
            assert set(one.over_all_values_of) & gone


@pytest.mark.req("REQ-143")
@settings(max_examples=of(16, 200))
@given(pairs)
def test_a_reason_that_is_not_given_is_either_absent_or_named_as_not_asked(pair):
    """A reason of the whole shoulder that the part lacks has a missing input among the unasked; none is made up."""
    whole, part, _ = halves(pair)
    shown = {one.name for one in reasons(part, facts())}
    hidden = {one.name for one in reasons(whole, facts())} - shown
    assert shown <= {one.name for one in reasons(whole, facts())}
    assert not hidden or unasked(part)
    assert len(hidden) <= len(unasked(part))


@pytest.mark.req("REQ-143")
@settings(max_examples=of(12, 200))
@given(pairs)
def test_a_sign_for_bone_work_is_present_absent_or_not_known(pair):
    """Each sign stands in exactly one of three lists, and an unknown one is never absent."""
    _, part, _ = halves(pair)
    for work, one in zip(all_work(), bone_work(part, facts()), strict=True):
        unknown = [sign.words for sign in work.signs if sign.path in one.missing]
        assert sorted((*one.met, *one.not_met, *unknown)) == sorted(sign.words for sign in work.signs)
        assert one.words.startswith("Not routine.")
