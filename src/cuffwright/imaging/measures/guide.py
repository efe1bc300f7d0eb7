"""What a guided measure is made of, as data: the page draws from it, the reading works from it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.scene import Scene
from cuffwright.imaging.scale import MEASURABLE, Plane

Unit = Literal["mm", "degrees", "ratio", "percent", "HU"]
View = Literal["coronal", "sagittal", "y-view", "front", "shaft", "bed"]
"""On which drawing the marks are shown: oblique coronal, oblique sagittal, Y view, radiograph from in front, shaft of
the humerus on a radiograph, and bone beds on CT."""

RADIOGRAPHS = ("CR", "DX", "RG")
"""Modalities of a plain radiograph."""

SHAPES_ONLY: frozenset[Plane] = frozenset({"detector", "unknown"})
"""Scale classes in which the shape of the pixels holds but not their size."""


@dataclass(frozen=True)
class Mark:
    """One thing to mark: its name, where to click in words, its place on the drawing (0 to 1, from top left).

    ``corners`` is 1 for a point, and the fewest corners for an outline (3 or more).
    """

    name: str
    words: str
    place: tuple[float, float]
    corners: int = 1
    optional: bool = False


@dataclass(frozen=True)
class Doubt:
    """A part of the spread that comes neither from grid nor hand: what it is, and its SD."""

    words: str
    sd: float


@dataclass(frozen=True)
class Guide:
    """A measure: what to mark on which picture, how it is worked out, and which field of the case it fills.

    ``needs_mm`` measures are refused without a scale; the others need only the shape of the pixels. ``reader`` is
    the row with the published error of readers (SD, in the measure's unit), ``method`` the row with the published
    difference from a better method (value: mean difference, sd: its SD); empty where none was found. ``signed``
    measures may be negative.
    """

    name: str
    title: str
    unit: Unit
    view: View
    modalities: tuple[str, ...]
    marks: tuple[Mark, ...]
    formula: str
    work: Callable[[Scene], float]
    field: str = ""
    needs_mm: bool = False
    reader: str = ""
    method: str = ""
    cannot_know: tuple[str, ...] = ()
    warn: Callable[[Scene, FactBook], tuple[str, ...]] | None = None
    doubts: Callable[[Scene, FactBook], tuple[Doubt, ...]] | None = None
    signed: bool = False

    def allows(self, modality: str, plane: Plane) -> bool:
        """Whether a picture of this kind and scale class can be measured so.

        Without a scale a picture of the patient still gives shapes; one without any spacing does so only when it is
        a radiograph, whose pixels are square or say their shape.
        """
        if modality not in self.modalities:
            return False
        return plane in MEASURABLE or (not self.needs_mm and (plane in SHAPES_ONLY or modality in RADIOGRAPHS))
