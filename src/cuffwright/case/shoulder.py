"""Bony landmarks and measures of the whole shoulder, as the case gives them."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Literal, get_args

from cuffwright.case.errors import CaseError
from cuffwright.case.measurement import Measurement, Origin

LandmarkName = Literal[
    "glenoid top",
    "glenoid bottom",
    "glenoid front",
    "glenoid back",
    "acromion anterolateral corner",
    "acromion lateral",
    "acromion posterolateral corner",
    "acromion tip",
    "coracoid tip",
    "head centre",
]
"""The points that can be marked."""

Frame = Literal["patient", "scapula"]
"""``patient`` is left, back, head as in image files; ``scapula`` any upright frame of the scapula on its own side."""

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Landmark:
    """A bony point found on an image: name, place and SD (mm), the frame it was read in, origin and trace.

    Raises
    ------
    CaseError
        At birth, when the place is not finite or the SD not above 0.
    """

    name: LandmarkName
    place_mm: Place
    sd_mm: float
    frame: Frame
    origin: Origin = "image"
    trace: str = ""

    def __post_init__(self) -> None:
        if not all(math.isfinite(x) for x in self.place_mm):
            raise CaseError(f"the landmark {self.name} has no finite place; mark it again")
        if not (math.isfinite(self.sd_mm) and self.sd_mm > 0):
            raise CaseError(
                f"the landmark {self.name} needs an SD above 0 mm, not {self.sd_mm}; say how well it is seen"
            )


def landmark_name(word: str) -> LandmarkName:
    """The landmark called ``word``; raises CaseError naming those there are."""
    known: tuple[LandmarkName, ...] = get_args(LandmarkName)
    for name in known:
        if name == word:
            return name
    raise CaseError(f"there is no landmark {word}; the landmarks are {', '.join(known)}")


@dataclass(frozen=True)
class Shoulder:
    """Landmarks and measures of humerus, glenoid, acromion, soft tissue and arm; each unknown until measured.

    Lengths in mm, angles in degrees. Head radius, critical shoulder angle and acromiohumeral interval stand with
    footprint and acromion.

    Raises
    ------
    CaseError
        At birth, when a landmark stands twice, frames are mixed, or a length that no shoulder lacks is 0.
    """

    landmarks: tuple[Landmark, ...] = ()
    neck_shaft_degrees: Measurement | None = None
    retroversion_degrees: Measurement | None = None
    medial_offset_mm: Measurement | None = None
    posterior_offset_mm: Measurement | None = None
    half_arc_degrees: Measurement | None = None
    beyond_sphere_mm: Measurement | None = None
    tuberosity_degrees: Measurement | None = None
    front_margin_degrees: Measurement | None = None
    glenoid_height_mm: Measurement | None = None
    glenoid_width_mm: Measurement | None = None
    lateral_angle_degrees: Measurement | None = None
    acromion_length_mm: Measurement | None = None
    acromion_width_mm: Measurement | None = None
    acromion_thickness_mm: Measurement | None = None
    skin_acromion_mm: Measurement | None = None
    fat_mm: Measurement | None = None
    deltoid_mm: Measurement | None = None
    arm_length_mm: Measurement | None = None

    def __post_init__(self) -> None:
        names = [mark.name for mark in self.landmarks]
        for name in names:
            if names.count(name) > 1:
                raise CaseError(f"the landmark {name} stands twice; keep one")
        if len({mark.frame for mark in self.landmarks}) > 1:
            raise CaseError("the landmarks mix the patient's frame and the scapula's; give all in one")
        for measure, one in self.measured():
            if one.value == 0 and not measure.endswith(("_degrees", "_offset")):
                raise CaseError(f"shoulder.{measure}_mm is 0; measure it again or leave it out")

    def measured(self) -> Iterator[tuple[str, Measurement]]:
        """What is measured, by the measure's name without the unit mm."""
        for entry in fields(self):
            value = getattr(self, entry.name)
            if isinstance(value, Measurement):
                yield entry.name.removesuffix("_mm"), value
