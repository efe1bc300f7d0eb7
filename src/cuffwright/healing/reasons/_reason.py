"""The shape of a reason against, and the other ways there are, named without preference."""

from collections.abc import Callable
from dataclasses import dataclass

from cuffwright.case.fact import Citing
from cuffwright.case.odds import Reason
from cuffwright.healing.known import Known

OTHER_WAYS = (
    "exercise and physiotherapy",
    "injection",
    "joint replacement",
    "partial repair",
    "procedure on the biceps with debridement",
    "repair with graft",
    "tendon transfer",
    "waiting and imaging again",
)
"""Other ways in the order of the alphabet: naming one is no advice."""


@dataclass(frozen=True)
class Against:
    """One reason: what it must know, when it holds (its words) and when it does not (None)."""

    name: str
    needs: tuple[str, ...]
    holds: Callable[[Known, Citing], str | None]
    strength: str
    others: tuple[str, ...] = OTHER_WAYS


def reason(one: Against, known: Known, facts: Citing) -> Reason | None:
    """The reason where it holds; it is not asked where what it needs is missing."""
    if known.missing(one.needs):
        return None
    citing = Citing(facts.book)
    words = one.holds(known, citing)
    facts.used.update(citing.used)
    if words is None:
        return None
    verified = all(row.verified for row in citing.used.values())
    return Reason(one.name, words, one.others, one.strength, tuple(citing.used), verified)
