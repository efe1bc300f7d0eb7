"""An even stack of slices as one block of values in the patient."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.slices import Slices
from cuffwright.imaging.slice_plane import Vector

Floats = NDArray[np.float64]

OUTSIDE = -2000.0
"""Numerical choice: value given for places outside the scan; below any Hounsfield value."""


@dataclass(frozen=True, eq=False)
class Volume:
    """Values (slices, rows, columns); ``steps`` (3, 3) are the ways in patient mm from one to the next along each."""

    values: NDArray[np.float32]
    origin: Floats
    steps: Floats

    def to_patient(self, index: Floats) -> Floats:
        """Patient points (..., 3) in mm of places (..., 3) counted in slices, rows, columns."""
        return np.asarray(self.origin + index @ self.steps)

    def to_index(self, points: Floats) -> Floats:
        """The inverse of :meth:`to_patient`."""
        return np.asarray((points - self.origin) @ np.linalg.inv(self.steps))

    def at(self, points: Floats) -> Floats:
        """Values (n,) at patient points (n, 3), between voxels by straight lines; ``OUTSIDE`` beyond the scan."""
        places = self.to_index(points).T
        found = ndimage.map_coordinates(self.values, places, order=1, cval=OUTSIDE, output=np.float64)
        return np.asarray(found)

    def holds(self, points: Floats) -> NDArray[np.bool_]:
        """Which patient points (n, 3) lie within the scan."""
        places = self.to_index(points)
        return np.asarray(((places >= 0) & (places <= np.array(self.values.shape) - 1)).all(axis=-1))

    @property
    def voxel_mm(self) -> Floats:
        """Size (3,) of a voxel along slices, rows, columns, mm."""
        return np.asarray(np.linalg.norm(self.steps, axis=1))

    def around(self, centre: Floats, reach_mm: float) -> "Volume":
        """The part within a box ``reach_mm`` to every side of a patient point; raises ImageError when it is empty."""
        corners = centre + reach_mm * np.array(np.meshgrid(*[(-1, 1)] * 3)).reshape(3, -1).T
        places = self.to_index(corners)
        low = np.clip(np.floor(places.min(axis=0)).astype(int), 0, None)
        high = np.minimum(np.ceil(places.max(axis=0)).astype(int) + 1, self.values.shape)
        if (high - low < 2).any():
            raise ImageError("the mark lies outside the scan; set it inside the humeral head")
        part = self.values[low[0] : high[0], low[1] : high[1], low[2] : high[2]]
        return Volume(part, self.to_patient(low.astype(float)), self.steps)


def volume_of(slices: Slices) -> Volume:
    """The volume of a CT series.

    Raises
    ------
    ImageError
        When it is no CT, its slices are not even, or one cannot be decoded.
    """
    series = slices.series
    if series.modality != "CT":
        raise ImageError(f"bone is taken from a CT, not from {series.modality or 'this kind of image'}")
    if series.stack is None or not series.stack.even or series.stack.step_mm is None:
        raise ImageError("the slices of this CT are not one even stack, so they make no volume; its notes say why")
    first, last = (series[i].slice_plane for i in (0, len(series) - 1))
    if first is None or last is None:
        raise ImageError("the slices carry no place in the patient; use another series")
    values = np.stack([slices.values(i) for i in range(len(series))])
    away = (np.array(last.position) - np.array(first.position)) / (len(series) - 1)
    steps = np.stack([away, np.array(first.along_column) * first.row_mm, np.array(first.along_row) * first.col_mm])
    return Volume(values, np.array(first.position), steps)


def vector(point: Floats) -> Vector:
    """Three plain numbers."""
    x, y, z = point.tolist()
    return x, y, z
