"""The tear as measured: its size, shape, tendons, and what the tendon still allows."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.measurement import Measurement

Tendon = Literal["supraspinatus", "infraspinatus", "subscapularis", "teres minor"]
Shape = Literal["crescent", "U", "L", "reverse L", "massive contracted"]
LimbSide = Literal["anterior", "posterior"]
Grade = Literal["good", "fair", "poor"]
"""What only theatre can tell about tissue, bone or mobility; unknown before it."""

LEAST_CORNERS = 3
"""Numerical choice: corners that enclose an area."""


@dataclass(frozen=True)
class Tear:
    """A tear of the cuff. Every measured field is a :class:`Measurement` in the unit of its name, or unknown.

    ``front_mm`` is the distance of the tear's front edge behind the front of the supraspinatus footprint,
    ``remaining_tendon_mm`` the tendon left lateral of the musculotendinous junction, ``limb_side`` the side of
    the longitudinal limb of an L-shaped tear. ``long_standing`` says whether the tear is months
    old; ``missing_tissue`` is a drawn outline, chart (u, v) in mm, of where there is no tendon even when it is reduced.
    ``operative_tension_newtons`` is the pull measured at surgery that brought the edge over ``retraction_mm``.

    Raises
    ------
    CaseError
        At birth: no tendon, a zero width, a partial depth on a full-thickness tear or above the thickness, a
        limb side on a shape that has none, or an outline of fewer than three corners.
    """

    width_mm: Measurement
    tendons: tuple[Tendon, ...] = ("supraspinatus",)
    shape: Shape | None = None
    limb_side: LimbSide | None = None
    retraction_mm: Measurement | None = None
    thickness_mm: Measurement | None = None
    front_mm: Measurement | None = None
    full_thickness: bool = True
    partial_depth_mm: Measurement | None = None
    delaminated: bool | None = None
    remaining_tendon_mm: Measurement | None = None
    mobility: Grade | None = None
    tissue: Grade | None = None
    remeasured_after_debridement: bool = False
    long_standing: bool | None = None
    operative_tension_newtons: Measurement | None = None
    missing_tissue: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        if not self.tendons:
            raise CaseError("the tear names no tendon; list at least one in tear.tendons")
        if self.width_mm.value == 0:
            raise CaseError("the AP width of the tear is 0 mm; measure it or leave the case without a tear")
        if self.full_thickness and self.partial_depth_mm is not None:
            raise CaseError("tear.partial_depth_mm is given for a full-thickness tear; set tear.full_thickness = false")
        if self.limb_side is not None and self.shape not in {"L", "reverse L"}:
            raise CaseError(f"tear.limb_side is given for the shape {self.shape}; only L and reverse L have a limb")
        depth, thickness = self.partial_depth_mm, self.thickness_mm
        if depth is not None and thickness is not None and depth.value > thickness.value:
            raise CaseError(
                f"the partial depth {depth.value:g} mm exceeds the tendon thickness {thickness.value:g} mm; check both"
            )
        if 0 < len(self.missing_tissue) < LEAST_CORNERS:
            raise CaseError("tear.missing_tissue has fewer than three corners; draw the outline again")
