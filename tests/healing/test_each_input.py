"""Each input of a whole shoulder taken away in turn: whatever changes in a model, class, reason or sign names it."""

from random import Random

import pytest

from cuffwright.healing.bonework import all_work, bone_work
from cuffwright.healing.classes import class_rules, classify
from cuffwright.healing.known import Known
from cuffwright.healing.models import models, odds
from cuffwright.healing.reasons import all_against, reasons, unasked
from tests.healing.shoulders import ALWAYS, drawn_shoulder, facts
from tests.sampling import of

OF_THE_WIDTH_ALONE = {"size-by-width", "size-two-four", "massive-by-width", "massive-by-tendons", "size-and-therapy"}
"""Of what a case cannot be without; nothing of theirs can be taken away."""


def named(answer: object) -> set[str]:
    """Every input that an answer says it lacks."""
    lists = ("missing", "over_all_values_of", "why_outside")
    return {word for name in lists for words in getattr(answer, name, ()) for word in words.split()}


def said(answer: object) -> tuple[object, ...]:
    """What an answer says, whatever its wording: the class, the range, the points, whom it is of, the signs."""
    kept = ("value", "low", "high", "points", "inside", "met", "not_met")
    return tuple(getattr(answer, name) for name in kept if hasattr(answer, name))


Said = tuple[tuple[object, ...], set[str]]
"""Classes, odds and work on bone of a shoulder, and the names of its reasons."""


def told(known: Known) -> Said:
    """All that is said of a shoulder."""
    answers = (*classify(known, facts()), *odds(known, facts()), *bone_work(known, facts()))
    return answers, {one.name for one in reasons(known, facts())}


def changed(full: Said, less: Known, path: str) -> set[str]:
    """The names of all that changed without ``path``; each of them must name it."""
    found = set()
    answers, against = told(less)
    for before, after in zip(full[0], answers, strict=True):
        if said(before) != said(after):
            assert path in named(after), (before.name, path)
            found.add(before.name)
    lost = full[1] ^ against
    assert not lost or path in unasked(less), (lost, path)
    return found | lost


@pytest.mark.req("REQ-241")
def test_whatever_changes_when_one_input_goes_names_that_input():
    """An answer stays as it was or names what was taken away: "needs", or a range over all its values. None is spared:
    every model, class, reason and work on bone is seen to change by the loss of an input."""
    seen: set[str] = set()

    for number in range(of(14, 1000)):
        whole = drawn_shoulder(Random(number))
        full = told(Known(whole, {}))
        for path in sorted(set(whole) - set(ALWAYS)):
            seen.update(changed(full, Known({**whole, path: None}, {}), path))
    every = (*models(), *class_rules(), *all_against(), *all_work())
    assert {one.name for one in every} - seen <= OF_THE_WIDTH_ALONE
