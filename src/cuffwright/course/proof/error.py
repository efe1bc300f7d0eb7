"""How wrong the model is on rows it was not fitted to, by kind of result."""

import math
from dataclasses import dataclass

from cuffwright.course.proof.row import Proof, ProofRow


@dataclass(frozen=True)
class MeasuredError:
    """Root mean square of ln(ours / published).

    ``key`` is the evidence row that should hold it; ``blind`` is over blind rows alone (None without any),
    ``unfitted`` over blind and seen ones; ``rows`` their ids.
    """

    key: str
    blind: float | None
    unfitted: float
    rows: tuple[str, ...]

    @property
    def value(self) -> float:
        """The larger of the two: a few lucky rows, blind or seen, never narrow an interval."""
        return max(self.unfitted, self.blind or 0.0)


KINDS: dict[str, tuple[tuple[str, ...], bool, bool]] = {
    "model.error.ultimate": (("ultimate",), False, False),
    "model.error.gap": (("gap", "gap-cycled", "elongation"), False, False),
    "model.error.stiffness": (("stiffness",), True, False),
    "model.error.contact": (("area",), False, False),
    "model.error.contact.laboratory": (("area",), False, True),
}
"""By evidence row: the readings, whether ratios count too, and whether rows kept apart count too.

Absolute stiffness is published once, so ratios stand in. No gap is blind but the elongation of one study, the gap after
cycles with the tendon's own stretch, which counts among them. Areas of a laboratory that contradicts the one the model
was fitted to enter the second contact row only.
"""


def measured_errors(proof: Proof) -> tuple[MeasuredError, ...]:
    """The error of every kind of result that has a row it was not fitted to."""
    found = []
    for key, (measures, ratios, apart) in KINDS.items():
        rows = [r for r in proof.rows if r.measure in measures and r.role != "calibrated" and r.computed]
        rows = [r for r in rows if (ratios or not r.ratio) and (apart or not r.apart)]
        if rows:
            blind = [r for r in rows if r.role == "blind"]
            ids = tuple(r.id for r in rows)
            found.append(MeasuredError(key, _rms(blind) if blind else None, _rms(rows), ids))
    return tuple(found)


def _rms(rows: list[ProofRow]) -> float:
    squares = [math.log(r.computed / r.published) ** 2 for r in rows if r.computed]
    return math.sqrt(sum(squares) / len(squares))
