"""Which answers move a published share most: one at a time changed, the rest of the shoulder as it is."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.odds import OddsAnswer
from cuffwright.case.sheet import CaseSheet
from cuffwright.healing.known import Known, Value, known
from cuffwright.healing.models import again, inputs
from cuffwright.healing.models._model import PLACES

NUDGE = 1.1
"""Numerical choice: a measured input is raised by this factor to see how far it moves a share."""

COUNTED = ("tear.tendons",)
"""Inputs that are counts."""

HOW = "Each changed alone as told: a measure by a tenth, a grade or count by one, a word to the one that moves most."
STILL = "No measure a tenth larger, no grade one higher and no other word moves it."

OddsMovers = tuple[tuple[str, str, float], ...]
"""Path of the input, what was changed in it, and the change of the share (0 to 1)."""


def odds_movers(sheet: CaseSheet, book: FactBook, name: str) -> OddsMovers:
    """The two known inputs that move the middle of the share of the model ``name`` most; those that do not, left out.

    Raises StopIteration when there is no such model.
    """
    told, facts = known(sheet), Citing(book)
    base = _middle(again(name, told, facts))
    if base is None:
        return ()
    found: dict[str, tuple[str, str, float]] = {}
    for path, choices in inputs(name, told, facts).items():
        for how, value in _others(path, told.values.get(path), choices, measured=path in told.spread):
            middle = _middle(again(name, _with(told, path, value), facts))
            change = 0.0 if middle is None else round(middle - base, PLACES)
            if abs(change) > abs(found.get(path, ("", "", 0.0))[2]):
                found[path] = path, how, change
    return tuple(sorted(found.values(), key=lambda one: -abs(one[2]))[:2])


def _middle(one: OddsAnswer) -> float | None:
    return None if one.low is None or one.high is None else (one.low + one.high) / 2


def _with(told: Known, path: str, value: Value) -> Known:
    return replace(told, values={**told.values, path: value})


def _others(path: str, value: Value, choices: Sequence[Value], *, measured: bool) -> Iterator[tuple[str, Value]]:
    """What an input could be instead, in words and as a value; nothing for one that is not known."""
    if value is None:
        return
    if isinstance(value, bool):
        yield ("no", False) if value else ("yes", True)
    elif isinstance(value, str):
        yield from ((str(word), word) for word in choices if isinstance(word, str) and word != value)
    elif path in COUNTED:
        yield "one more", value + 1
    elif not measured and value in choices:
        yield from (("one more", grade) for grade in choices if grade == value + 1)
    else:
        yield "10 % more", value * NUDGE
