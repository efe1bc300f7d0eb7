"""A radiograph of the invented shoulder from in front: shadows of the bones in a beam that spreads from a point.

The beam runs along the front of the scapula, in the plane of the glenoid, when ``turned_degrees`` is 0: a true view.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from cuffwright.anatomy.turning import UP, turn_about
from cuffwright.imaging.calibration import magnification
from cuffwright.imaging.phantom.body import CORTEX, MARROW, Floats, InventedBody

BOX_MM = 75.0
"""Numerical choice: half the side of the box whose bones cast shadows, mm."""

GRID_MM = 2.0
"""Numerical choice: side of the cells of that box, mm."""

WEIGHT = {CORTEX: 1.0, MARROW: 0.5}
"""Numerical choice: how much a mm of compact and of spongy bone weakens the beam, against each other."""

DARKEST = 50.0
"""Numerical choice: weight along the beam that leaves no signal, mm of compact bone."""

TOP_LEVEL = 4000.0
"""Numerical choice: level of a pixel that the beam reaches unweakened."""


@dataclass(frozen=True)
class Film:
    """How a radiograph is taken: pixels per side, their size at the detector, source to detector and shoulder to
    detector (mm), noise (SD of the level), and by how much the scapula is turned out of the true view (degrees).
    """

    pixels: int = 320
    detector_mm: float = 0.5
    source_mm: float = 1100.0
    shoulder_mm: float = 90.0
    noise: float = 30.0
    turned_degrees: float = 0.0

    @property
    def magnification(self) -> float:
        """Size at the detector over true size, at the depth of the head centre."""
        return magnification(self.source_mm, self.shoulder_mm)


@dataclass(frozen=True, eq=False)
class Exposure:
    """One radiograph of one body: the picture, and where points of the scapula frame fall on it."""

    body: InventedBody
    film: Film

    @cached_property
    def _frame(self) -> Floats:
        """Rows: from front to back along the beam, down the film, across the film to the patient's left (scapula)."""
        turned = turn_about(UP, self.film.turned_degrees)
        left = 1.0 if self.body.side == "left" else -1.0
        return np.stack([-turned[:, 0], np.array([0.0, -1.0, 0.0]), left * turned[:, 2]])

    def place(self, points: Floats) -> Floats:
        """Column and row (..., 2) in pixels of points (..., 3) of the scapula frame."""
        film = self.film
        depth, down, across = np.moveaxis((points - self.body.shoulder.head) @ self._frame.T, -1, 0)
        spread = film.source_mm / (film.source_mm - film.shoulder_mm + depth)
        half = (film.pixels - 1) / 2
        return np.stack([half + across * spread / film.detector_mm, half + down * spread / film.detector_mm], axis=-1)

    def picture(self, rng: np.random.Generator) -> NDArray[np.uint16]:
        """Levels (rows x columns), bone bright, as a negative is looked at."""
        film = self.film
        density = self._density()
        depths = np.arange(-BOX_MM, BOX_MM, GRID_MM)
        half = (film.pixels - 1) / 2
        down, across = (np.mgrid[: film.pixels, : film.pixels] - half) * film.detector_mm
        shadow = np.zeros(down.shape)
        for depth in depths:
            back = (film.source_mm - film.shoulder_mm + depth) / film.source_mm
            layer = density[int(np.rint((depth + BOX_MM) / GRID_MM))]
            places = [(down * back + BOX_MM) / GRID_MM, (across * back + BOX_MM) / GRID_MM]
            shadow += ndimage.map_coordinates(layer, places, order=1) * GRID_MM
        levels = TOP_LEVEL * np.clip(shadow / DARKEST, 0, 1) + rng.normal(0, film.noise, shadow.shape)
        return np.asarray(np.rint(np.clip(levels, 0, TOP_LEVEL)), np.uint16)

    def _density(self) -> Floats:
        """Weight of each cell of the box (depth, down, across)."""
        side = np.arange(-BOX_MM, BOX_MM + GRID_MM / 2, GRID_MM)
        cells = np.stack(np.meshgrid(side, side, side, indexing="ij"), axis=-1).reshape(-1, 3)
        scapula = self.body.shoulder.head + cells @ self._frame
        tissue = self.body.tissue(self.body.of_scapula(scapula))
        weight = np.zeros(len(cells))
        for kind, much in WEIGHT.items():
            weight[tissue == kind] = much
        return weight.reshape(len(side), len(side), len(side))
