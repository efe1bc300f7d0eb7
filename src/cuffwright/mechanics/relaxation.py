"""Tension lost after a suture is fixed: the tendon relaxes and the suture with it."""

import math
from dataclasses import dataclass, replace

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.mechanics.parameters import Parameters


@dataclass(frozen=True)
class Relaxation:
    """What is left of a tension: 1 at once, falling by ``quick`` within ``quick_time`` s and ``slow`` likewise."""

    quick: float
    quick_time: float
    slow: float
    slow_time: float

    @classmethod
    def from_facts(cls, book: Citing) -> "Relaxation":
        """Read the law from its rows; raises EvidenceError when one is missing."""
        n = book.number
        return cls(n("relaxation.quick"), n("relaxation.quick.time"), n("relaxation.slow"), n("relaxation.slow.time"))

    def left(self, seconds: float) -> float:
        """Share of the first tension left after ``seconds``; raises CaseError below 0."""
        if seconds < 0.0:
            raise CaseError(f"{seconds:g} s after fixation lies before it; give 0 or more")
        gone = self.quick * -math.expm1(-seconds / self.quick_time) + self.slow * -math.expm1(-seconds / self.slow_time)
        return 1.0 - gone

    def after(self, parameters: Parameters, seconds: float) -> Parameters:
        """The same numbers with sutures that have lost tension for ``seconds`` since they were fixed."""
        share = self.left(seconds)
        return replace(parameters, tension={kind: share * newtons for kind, newtons in parameters.tension.items()})
