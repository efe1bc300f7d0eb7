"""Failure where tendon turns to muscle: known only when the length of tendon left is."""

from dataclasses import dataclass

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip


@dataclass(frozen=True)
class JunctionRisk:
    """The medial-most limb ``hole``, its ``distance`` mm lateral of the junction and the ``share`` that fail there.

    ``low`` and ``high`` bound the share where 9 of 10 such intervals hold it (exact, from few specimens).
    """

    hole: str
    distance: float
    share: float
    low: float
    high: float


def junction_risk(layout: Layout, strip: TendonStrip, remaining: float | None, book: Citing) -> JunctionRisk | None:
    """How often repairs fail medially at the musculotendinous junction with sutures as near to it as these.

    ``remaining`` is the length (mm) of tendon lateral of the junction; where it is not known nothing is said (None).
    The share falls in a straight line from that of passes at the junction to none at the distance that was safe.

    Raises
    ------
    CaseError
        When the remaining length is not above 0, or the layout has no limb.
    EvidenceError
        When a row is missing.
    """
    if remaining is None:
        return None
    if remaining <= 0.0:
        raise CaseError(f"{remaining:g} mm of tendon left cannot be sutured; measure again")
    if not layout.holes:
        raise CaseError("a layout without limbs has none near the junction; add a stitch")
    hole = min(layout.holes, key=lambda one: one.v)
    distance = hole.v - (layout.on(strip).edge - remaining)
    near = min(1.0, max(0.0, 1.0 - distance / book.number("junction.safe")))
    low, high = book.number("junction.failed.low"), book.number("junction.failed.high")
    ceiling = book.number("junction.spared.high")
    share = near * book.number("junction.failed")
    return JunctionRisk(hole.name, distance, share, near * low, ceiling + near * (high - ceiling))
