"""The border of a block of voxels as a closed mesh: one point in every cell the border passes, joined to neighbours.

A cell has a voxel's middle at each of its eight corners. Its point is the mean of where the border crosses its twelve
edges; every edge that is crossed joins the points of the four cells around it.
"""

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from cuffwright.imaging.bone.volume import Floats, Volume

Bools = NDArray[np.bool_]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Mesh:
    """Points (n, 3) in patient mm, and triangles (m, 3) by the numbers of their points, outer side by right hand."""

    points: Floats
    triangles: Whole

    @property
    def volume_mm3(self) -> float:
        """What the mesh encloses (divergence theorem)."""
        a, b, c = (self.points[self.triangles[:, i]] - self.points.mean(axis=0) for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def surface_of(bone: Bools, volume: Volume, smoothing_mm: float) -> Mesh:
    """The border of ``bone`` (slices, rows, columns), smoothed, in the patient; cut faces at the scan's end closed."""
    soft = ndimage.gaussian_filter(np.pad(bone, 2).astype(np.float64), smoothing_mm / volume.voxel_mm)
    points, quads = _net(soft - 0.5)
    corners = np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]])
    mesh = Mesh(volume.to_patient(points - 2), corners)
    return mesh if mesh.volume_mm3 >= 0 else Mesh(mesh.points, corners[:, ::-1])


def _net(field: Floats) -> tuple[Floats, Whole]:
    """Points (in voxels) and quads of the border where ``field`` passes 0."""
    size = np.array(field.shape) - 1
    total, count = np.zeros((*size, 3)), np.zeros(tuple(size))
    for axis in range(3):
        here, there = _ends(field, axis)
        crossed = (here > 0) != (there > 0)
        share = np.where(crossed, here / np.where(crossed, here - there, 1.0), 0.0)
        for beside in product((0, 1), repeat=2):
            _add(total, count, crossed, share, axis, beside)
    passed = count > 0
    number = np.full(tuple(size), -1)
    number[passed] = np.arange(int(passed.sum()))
    corner = np.argwhere(passed)
    points = corner + total[passed] / count[passed][:, None]
    return points, np.concatenate([_quads(field, number, axis) for axis in range(3)])


def _ends(field: Floats, axis: int) -> tuple[Floats, Floats]:
    """Values at the two ends of every edge along ``axis``."""
    count = field.shape[axis]
    return np.take(field, range(count - 1), axis), np.take(field, range(1, count), axis)


def _add(total: Floats, count: Floats, crossed: Bools, share: Floats, axis: int, beside: tuple[int, ...]) -> None:
    """Add the crossings of edges along ``axis`` at one of their four places to the cells they belong to."""
    others = [a for a in range(3) if a != axis]
    cut = [slice(None)] * 3
    for other, at in zip(others, beside, strict=True):
        cut[other] = slice(at, total.shape[other] + at)
    where = crossed[tuple(cut)]
    count += where
    total[..., axis] += np.where(where, share[tuple(cut)], 0.0)
    for other, at in zip(others, beside, strict=True):
        total[..., other] += where * float(at)


def _quads(field: Floats, number: Whole, axis: int) -> Whole:
    """The quads (n, 4) around the crossed edges along ``axis``, turned so that the outer side is the same for all."""
    here, there = _ends(field, axis)
    first, second = [a for a in range(3) if a != axis]
    inner = [slice(None)] * 3
    inner[first] = inner[second] = slice(1, -1)
    crossed = ((here > 0) != (there > 0))[tuple(inner)]
    outwards = (here > 0)[tuple(inner)][crossed]
    at = np.argwhere(crossed)
    around = []
    for back in ((0, 0), (1, 0), (1, 1), (0, 1)):
        place = at.copy()
        place[:, first] += back[0]
        place[:, second] += back[1]
        around.append(number[tuple(place.T)])
    quads = np.stack(around, axis=-1)
    turn = outwards if axis != 1 else ~outwards
    quads[~turn] = quads[~turn][:, ::-1]
    return np.asarray(quads)
