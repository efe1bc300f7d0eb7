"""The marks of one round on one picture: in pixels, and in millimetres or, without a scale, in widths of a pixel."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cuffwright.imaging.measures.planar import Floats, inside


@dataclass(frozen=True)
class Scene:
    """Marks by name, each (n, 2) in pixels; ``unit`` is the size of a pixel across and down (mm, or its shape only).

    ``load`` gives the modality values of the picture (rows x columns) when a measure looks at them.
    ``step_mm`` is the distance to the neighbouring slices, from their places, where they are known.
    """

    pixels: Mapping[str, Floats]
    unit: tuple[float, float]
    load: Callable[[], NDArray[np.float32]]
    step_mm: float | None = None

    @cached_property
    def values(self) -> NDArray[np.float32]:
        """Modality values of the picture (rows x columns)."""
        return self.load()

    def point(self, name: str) -> Floats:
        """A point mark (2,) in the scene's unit."""
        return np.asarray(self.pixels[name][0] * self.unit)

    def outline(self, name: str) -> Floats:
        """An outline (n, 2) in the scene's unit."""
        return np.asarray(self.pixels[name] * self.unit)

    def has(self, name: str) -> bool:
        """Whether an optional mark was set."""
        return name in self.pixels

    def values_in(self, name: str) -> NDArray[np.float64]:
        """The modality values of the pixels whose centres lie inside an outline.

        Raises
        ------
        ImageError
            When none does, or the picture cannot be decoded.
        """
        rows, columns = self.values.shape
        down, across, held = inside(self.pixels[name], rows, columns)
        return np.asarray(self.values[down, across][held], np.float64)

    def mean_in(self, name: str) -> tuple[float, float]:
        """Mean of the modality values inside an outline, and its SD; neighbouring pixels are not independent, so a
        quarter of them is counted.
        """
        values = self.values_in(name)
        return float(values.mean()), float(values.std()) / math.sqrt(max(len(values) / 4, 1.0))

    def moved(self, name: str, corner: int, axis: int, step: float) -> "Scene":
        """The same scene with one coordinate of one mark moved by ``step`` pixels."""
        points = self.pixels[name].copy()
        points[corner, axis] += step
        return Scene({**self.pixels, name: points}, self.unit, self.load, self.step_mm)
