"""The window on the bone in which pressure is read."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import TendonStrip
from cuffwright.mechanics.pressure.field import Grid

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Footprint:
    """A rectangle in sheet mm: ``front`` to ``back`` along u, ``medial`` to ``lateral`` along v.

    Raises
    ------
    CaseError
        At birth, when it has no area.
    """

    front: float
    back: float
    medial: float
    lateral: float

    def __post_init__(self) -> None:
        if not (0 < self.area < np.inf and self.back > self.front):
            raise CaseError("the footprint window has no area; give its front, back, medial and lateral limits in mm")

    @classmethod
    def on_chart(cls, u: tuple[float, float], v: tuple[float, float], strip: TendonStrip) -> "Footprint":
        """The window from chart limits ``u`` and ``v`` (mm), moved into the sheet of ``strip``."""
        return cls(u[0] - strip.front, u[1] - strip.front, *v)

    @property
    def area(self) -> float:
        """Area, mm2."""
        return (self.back - self.front) * (self.lateral - self.medial)

    def share(self, grid: Grid) -> Floats:
        """Area (mm2) of each cell of ``grid`` that lies in the window; the rest of the window bears no tendon."""
        return np.outer(
            _overlap(grid.u, grid.width / grid.count_u, self.front, self.back),
            _overlap(grid.v, grid.depth / grid.count_v, self.medial, self.lateral),
        )


def _overlap(centres: Floats, size: float, low: float, high: float) -> Floats:
    shared = np.minimum(centres + size / 2, high) - np.maximum(centres - size / 2, low)
    return np.asarray(np.maximum(shared, 0), np.float64)
