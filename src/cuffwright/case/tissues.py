"""What lies around the tear: biceps, subscapularis, muscles, bone, footprint, acromion."""

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.measurement import Measurement, Origin
from cuffwright.case.tear import Grade

FattyGrade = Literal[0, 1, 2, 3, 4]

UPRIGHT = 90.0
"""Numerical choice: degrees at which an axis would lie along the bone."""


@dataclass(frozen=True)
class Biceps:
    """The long head of biceps; every field unknown until looked at."""

    present: bool | None = None
    torn_share: Measurement | None = None
    unstable: bool | None = None
    tenderness: bool | None = None


@dataclass(frozen=True)
class Subscapularis:
    """The subscapularis; a tear of it is recorded here, not repaired by any pattern of this release."""

    torn: bool | None = None
    full_thickness: bool | None = None
    height_mm: Measurement | None = None


@dataclass(frozen=True)
class Muscle:
    """Fatty infiltration per muscle (0 to 4, graded by eye), occupation ratio and tangent sign."""

    supraspinatus_fat: FattyGrade | None = None
    infraspinatus_fat: FattyGrade | None = None
    subscapularis_fat: FattyGrade | None = None
    modality: Literal["MR", "CT", "ultrasound"] | None = None
    occupation_ratio: Measurement | None = None
    tangent_positive: bool | None = None


@dataclass(frozen=True)
class Cyst:
    """A bone cyst: its middle at chart ``u``, ``v`` and ``depth_mm`` under the surface there, its diameter, mm.

    Raises
    ------
    CaseError
        At birth, when the place is not finite, the diameter not above 0, or the depth below 0.
    """

    u: float
    v: float
    diameter_mm: float
    depth_mm: float | None = None
    origin: Origin | None = None
    trace: str = ""

    def __post_init__(self) -> None:
        _check_place("a cyst", self.u, self.v)
        if not (isfinite(self.diameter_mm) and self.diameter_mm > 0):
            raise CaseError(f"a cyst needs a diameter above 0 mm, not {self.diameter_mm}; measure it again")
        if self.depth_mm is not None and not (isfinite(self.depth_mm) and self.depth_mm >= 0):
            raise CaseError(f"the middle of a cyst cannot lie {self.depth_mm} mm deep; give 0 or more")


@dataclass(frozen=True)
class EarlierAnchor:
    """An anchor left by an earlier operation: where it enters (chart ``u``, ``v``), its size (mm) and how it leans.

    ``lean_degrees`` is its tilt off square to the bone, its tip leading ``towards`` that side.

    Raises
    ------
    CaseError
        At birth, when the place is not finite, a size is not above 0, or the lean has no side.
    """

    u: float
    v: float
    note: str = ""
    diameter_mm: float | None = None
    length_mm: float | None = None
    lean_degrees: float | None = None
    towards: Literal["anterior", "posterior", "medial", "lateral"] | None = None
    origin: Origin | None = None
    trace: str = ""

    def __post_init__(self) -> None:
        _check_place("an earlier anchor", self.u, self.v)
        for size in (self.diameter_mm, self.length_mm):
            if size is not None and not (isfinite(size) and size > 0):
                raise CaseError(f"an earlier anchor needs sizes above 0 mm, not {size}; measure it again")
        if self.lean_degrees is not None and not (isfinite(self.lean_degrees) and 0 <= self.lean_degrees < UPRIGHT):
            raise CaseError(f"an earlier anchor cannot lean {self.lean_degrees} degrees; give 0 (square) to below 90")
        if self.lean_degrees and self.towards is None:
            raise CaseError("an earlier anchor leans but not towards any side; set towards, or lean_degrees = 0")


def _check_place(what: str, u: float, v: float) -> None:
    if not (isfinite(u) and isfinite(v)):
        raise CaseError(f"{what} has no finite place on the chart; measure it again")


@dataclass(frozen=True)
class Bone:
    """Bone of the tuberosity: the grade felt in theatre (unknown before), measures, cysts, earlier anchors."""

    quality: Grade | None = None
    cortex_mm: Measurement | None = None
    deltoid_tuberosity_index: Measurement | None = None
    cysts: tuple[Cyst, ...] = ()
    earlier_anchors: tuple[EarlierAnchor, ...] = ()


@dataclass(frozen=True)
class Footprint:
    """Measured sizes of the bone: head radius, footprint AP and ML, mm (chords as read on images)."""

    head_radius_mm: Measurement | None = None
    ap_mm: Measurement | None = None
    ml_mm: Measurement | None = None

    def __post_init__(self) -> None:
        for name in ("head_radius_mm", "ap_mm", "ml_mm"):
            measured = getattr(self, name)
            if measured is not None and measured.value == 0:
                raise CaseError(f"footprint.{name} is 0; measure it again or leave it out")


@dataclass(frozen=True)
class Acromion:
    """The acromion: type by eye, critical shoulder angle (degrees), acromiohumeral interval (mm)."""

    type: Literal["I", "II", "III", "IV"] | None = None
    critical_shoulder_angle_degrees: Measurement | None = None
    acromiohumeral_interval_mm: Measurement | None = None
