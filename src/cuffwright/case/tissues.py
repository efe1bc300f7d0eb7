"""What lies around the tear: biceps, subscapularis, muscles, bone, footprint, acromion."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.measurement import Measurement
from cuffwright.case.tear import Grade

FattyGrade = Literal[0, 1, 2, 3, 4]


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
    """A bone cyst at chart position ``u``, ``v`` with its diameter, mm."""

    u: float
    v: float
    diameter_mm: float


@dataclass(frozen=True)
class EarlierAnchor:
    """An anchor left by an earlier operation, at chart position ``u``, ``v`` (mm)."""

    u: float
    v: float
    note: str = ""


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
