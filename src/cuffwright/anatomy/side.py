"""Left and right: everything is computed on a right shoulder, a left one is its mirror image.

A point is reflected once on the way in and once on the way out by negating one coordinate, which is exact to the
last bit. Chart points (u, v, z) carry no side and are never reflected.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Side

Frame = Literal["humerus", "scapula", "patient"]

MIRROR: dict[str, int] = {"humerus": 2, "scapula": 2, "patient": 0}
"""Which coordinate changes sign: Z (lateral) on the bone, L of L, P, S in the patient."""


def side_of(word: str) -> Side:
    """The side named by ``word``; raises CaseError for anything but right or left."""
    if word == "right":
        return "right"
    if word == "left":
        return "left"
    raise CaseError(f"the side must be right or left, not {word!r}; set it before planning")


def _mirror(points: ArrayLike, side: Side, frame: Frame) -> NDArray[np.float64]:
    moved = np.array(points, dtype=np.float64)
    if side_of(side) == "left":
        moved[..., MIRROR[frame]] = -moved[..., MIRROR[frame]]
    return moved


def to_canonical(points: ArrayLike, side: Side, frame: Frame = "humerus") -> NDArray[np.float64]:
    """Points (..., 3) or directions of a shoulder of ``side``, as on the canonical right one."""
    return _mirror(points, side, frame)


def from_canonical(points: ArrayLike, side: Side, frame: Frame = "humerus") -> NDArray[np.float64]:
    """Canonical points (..., 3) or directions, as on a shoulder of ``side``; the inverse of :func:`to_canonical`."""
    return _mirror(points, side, frame)


@dataclass(frozen=True)
class MapAxes:
    """On which edge of the map each direction lies, operator beside an upright patient."""

    anterior: Literal["left", "right"]
    posterior: Literal["left", "right"]
    medial: Literal["top"] = "top"
    lateral: Literal["bottom"] = "bottom"

    @property
    def rightwards(self) -> int:
        """Sign of ``u`` in the rightward map coordinate; ``v`` always runs down the page."""
        return 1 if self.posterior == "right" else -1


def map_axes(side: Side) -> MapAxes:
    """The map of a right shoulder has anterior at its right edge, that of a left one at its left; medial is up."""
    return MapAxes("right", "left") if side_of(side) == "right" else MapAxes("left", "right")
