"""The invented reader before one series: looks through the slices around a place, and marks the one that shows most."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.imaging.calibration import Point
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import Reading, read_off
from cuffwright.imaging.phantom.body import Floats, InventedBody
from cuffwright.imaging.phantom.reader import Reader
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.ruler import CLICK_KEY
from cuffwright.imaging.slice_plane import SlicePlane

ROUNDS = 3
"""Numerical choice: rounds of clicks of the invented reader."""

NEAR = 2
"""Numerical choice: slices to either side of the expected one that the invented reader looks through."""

Marks = Callable[[Reader], Mapping[str, list[Point]]]
"""How a reader marks one measure on a slice."""


@dataclass(frozen=True, eq=False)
class Looking:
    """One reader before one series of slices: their places, and by index the picture and its values."""

    body: InventedBody
    planes: Sequence[SlicePlane]
    picture: Callable[[int], Picture]
    values: Callable[[int], NDArray[np.number]]
    step_mm: float | None
    book: FactBook
    rng: np.random.Generator

    def reader(self, index: int) -> Reader:
        """The reader before one slice."""
        return Reader(self.body, self.planes[index], self.values(index), self.rng, self.book.fact(CLICK_KEY).value)

    def nearest(self, point: Floats) -> int:
        """The slice nearest to a point in the body's axes."""
        where = self.body.to_patient(point)
        off = [abs((where - np.array(p.position)) @ np.array(p.normal)) for p in self.planes]
        return int(np.argmin(off))

    def largest(self, name: str, point: Floats, marks: Marks, near: int = NEAR) -> Reading:
        """Look through the slices around a point and keep the one on which the measure is largest.

        Raises
        ------
        ImageError
            When no slice shows it.
        """
        middle = self.nearest(point)
        found: list[tuple[float, int, Reader]] = []
        for index in range(max(middle - near, 0), min(middle + near + 1, len(self.planes))):
            reader = self.reader(index)
            try:
                looked = replace(reader, hand_px=0.0)
                found.append((self.read(name, index, [marks(looked)]).value, index, reader))
            except ImageError:
                continue
        if not found:
            raise ImageError(f"no slice shows {name.replace('_', ' ')}; draw more")
        # a slice is chosen by looking and marked afterwards: no miss of the hand takes part in the choice
        _, index, reader = max(found, key=lambda one: one[0])
        return self.read(name, index, [marks(reader) for _ in range(ROUNDS)])

    def read(self, name: str, index: int, rounds: Sequence[Mapping[str, Sequence[Point]]]) -> Reading:
        """A guided measure on one slice."""
        values = self.values(index).astype(np.float32)
        return read_off(guide(name), self.picture(index), rounds, self.book, values=values, step_mm=self.step_mm)
