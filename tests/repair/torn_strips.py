"""Invented torn tendons for the laws of the patterns, and a footprint of constant width to lay them on."""

from dataclasses import dataclass

from hypothesis import strategies as st

from cuffwright.case.layout import TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.tear import Tear
from cuffwright.repair.torn import TornStrip
from tests.strategies import strips

SHAPES = {
    "margin-convergence-u": ("U", None),
    "partial-repair": ("massive contracted", None),
    "completed-partial": ("crescent", None),
}


@dataclass(frozen=True)
class FlatBed:
    """A footprint of constant width on bone that never ends."""

    width: float

    def edge(self, u: float) -> float:
        """The same lateral edge everywhere."""
        return self.width

    def contains(self, u: float, v: float) -> bool:
        """Bone everywhere lateral of the cartilage."""
        return v >= 0


def mm(value: float) -> Measurement:
    """A typed length."""
    return Measurement(value, 0.5, "typed")


def torn(pattern: str, strip: TendonStrip, *, behind: bool = False, retraction: float = 25.0) -> TornStrip:
    """``strip`` with a tear that ``pattern`` is meant for; ``behind`` puts the limb of an L at the back."""
    shape, limb = SHAPES.get(pattern, ("crescent", None))
    if pattern == "margin-convergence-l":
        shape, limb = ("reverse L", "posterior") if behind else ("L", "anterior")
    partial = pattern == "completed-partial"
    tear = Tear(
        mm(strip.width),
        ("supraspinatus", "infraspinatus"),
        shape,
        limb,
        retraction_mm=mm(retraction),
        thickness_mm=mm(strip.thickness),
        full_thickness=not partial,
        partial_depth_mm=mm(0.8 * strip.thickness) if partial else None,
    )
    return TornStrip.of(strip, tear)


usual = st.builds(
    TendonStrip,
    front=st.floats(0, 10),
    width=st.floats(24, 36),
    edge=st.floats(12, 16),
    thickness=st.floats(3, 6),
)
"""Strips wide enough for every pattern."""

any_width = strips
