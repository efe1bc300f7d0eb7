"""What the browser may send about images."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from cuffwright.imaging.calibration import Calibration, Point, calibrate, state_magnification
from cuffwright.imaging.picture import Picture
from cuffwright.web.strict import Strict

MOST_CORNERS = 4000
"""Numerical choice: corners of an outline that follows an edge around the largest picture."""

FARTHEST_PX = 100_000.0
"""Numerical choice: no picture has more pixels to a side."""

MOST_ROUNDS = 10
"""Numerical choice: rounds of marks."""

MOST_SLICES = 60
"""Numerical choice: slices on which a tear is outlined."""

LONGEST_MM = 1000.0
"""Numerical choice: no object of known size on a radiograph of a shoulder is longer."""

Pixel = Annotated[float, Field(ge=-1.0, le=FARTHEST_PX)]
Spot = Annotated[list[Pixel], Field(min_length=2, max_length=2)]
Marks = Annotated[list[Spot], Field(max_length=MOST_CORNERS)]
Uid = Annotated[str, Field(min_length=1, max_length=64, pattern=r"^[0-9.]+$")]


def point(spot: list[float]) -> Point:
    """Column and row of a place the browser names."""
    across, down = spot
    return across, down


class Answers(Strict):
    """A person's answers to what the files of an import do not say."""

    confirmed: list[Annotated[str, Field(max_length=200)]] = Field(default_factory=list, max_length=12)
    marker: Literal["right", "left"] | None = None
    keep_characteristics: bool = False
    keep_link: bool = False


class ScaleOrder(Strict):
    """A scale made by hand on a projection: an object of known size, or a stated magnification."""

    kind: Literal["object", "magnification"]
    known: str = Field(min_length=1, max_length=80)
    start: Spot | None = None
    end: Spot | None = None
    known_mm: float | None = Field(default=None, gt=0.0, le=LONGEST_MM)
    factor: float | None = Field(default=None, ge=1.0, le=10.0)
    sd: float | None = Field(default=None, ge=0.0, le=1.0)

    @model_validator(mode="after")
    def whole(self) -> "ScaleOrder":
        """Refuse a scale that lacks what its kind needs."""
        needs = (self.start, self.end, self.known_mm) if self.kind == "object" else (self.factor, self.sd)
        if any(one is None for one in needs):
            wanted = "both ends and the length" if self.kind == "object" else "the factor and its SD"
            raise ValueError(f"this kind of scale needs {wanted}")
        return self

    def made(self, picture: Picture, by: str, at: str) -> Calibration:
        """The scale on this picture; raises ImageError when it does not fit."""
        if self.start and self.end and self.known_mm:
            start, end = point(self.start), point(self.end)
            return calibrate(picture, start, end, known=self.known, known_mm=self.known_mm, by=by, at=at)
        return state_magnification(picture, self.factor or 0.0, self.sd or 0.0, known=self.known, by=by, at=at)


class MeasureOrder(Strict):
    """Marks of a guided measure on one picture."""

    guide: str = Field(min_length=1, max_length=40)
    image: Uid
    frame: int = Field(default=0, ge=0)
    rounds: list[dict[str, Marks]] = Field(min_length=1, max_length=MOST_ROUNDS)
    scale: ScaleOrder | None = None
    confirmed: bool = False
    fitted: bool = False


class AcceptOrder(MeasureOrder):
    """The same, to be kept: with the command's id and the sequence number it was made at."""

    id: str = Field(min_length=8, max_length=64, pattern=r"^[A-Za-z0-9-]+$")
    expected: int = Field(ge=0, le=2**53)


class EdgeOrder(Strict):
    """Clicks between which an edge is followed."""

    image: Uid
    frame: int = Field(default=0, ge=0)
    clicks: Marks
    closed: bool = True


class EndsOrder(Strict):
    """The two ends of the tear on one slice; an end is left out where the slice does not show it."""

    image: Uid
    frame: int = Field(default=0, ge=0)
    front: Spot | None = None
    back: Spot | None = None


class PlacedOrder(Strict):
    """A place on one picture."""

    image: Uid
    frame: int = Field(default=0, ge=0)
    at: Spot


class OutlineOrder(Strict):
    """The tear on consecutive slices, and what sets the humerus into the patient."""

    head: list[PlacedOrder] = Field(min_length=3, max_length=24)
    shaft: PlacedOrder
    front: PlacedOrder
    slices: list[EndsOrder] = Field(min_length=2, max_length=MOST_SLICES)


class AcceptOutline(OutlineOrder):
    """The same, to be kept."""

    id: str = Field(min_length=8, max_length=64, pattern=r"^[A-Za-z0-9-]+$")
    expected: int = Field(ge=0, le=2**53)


class BoneOrder(Strict):
    """A place inside the humeral head on a CT slice, and the front edge of the greater tuberosity."""

    head: PlacedOrder
    front: PlacedOrder | None = None


class AcceptBone(BoneOrder):
    """The same, to be kept."""

    id: str = Field(min_length=8, max_length=64, pattern=r"^[A-Za-z0-9-]+$")
    expected: int = Field(ge=0, le=2**53)
