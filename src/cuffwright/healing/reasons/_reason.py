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
    """One reason: what may hide it while unknown, and its words where what is known makes it hold, else None.

    ``holds`` speaks of what is known alone: a sign that is there counts though another is not known, and a missing
    input never makes a reason. ``only_if`` tells whether it is asked of this shoulder at all.
    """

    name: str
    needs: tuple[str, ...]
    holds: Callable[[Known, Citing], str | None]
    strength: str
    others: tuple[str, ...] = OTHER_WAYS
    only_if: Callable[[Known], bool] = lambda _: True

    def unknown(self, known: Known) -> tuple[str, ...]:
        """The missing inputs that may hide it."""
        return known.missing(self.needs) if self.only_if(known) else ()


def reason(one: Against, known: Known, facts: Citing) -> Reason | None:
    """The reason where what is known makes it hold."""
    if not one.only_if(known):
        return None
    citing = Citing(facts.book)
    words = one.holds(known, citing)
    facts.used.update(citing.used)
    if words is None:
        return None
    verified = all(row.verified for row in citing.used.values())
    return Reason(one.name, words, one.others, one.strength, tuple(citing.used), verified)
