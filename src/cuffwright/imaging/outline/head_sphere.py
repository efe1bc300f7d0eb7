"""The humeral head as a sphere through marks on its round edge, on two slices or more."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.imaging.slice_plane import Vector

Floats = NDArray[np.float64]

LEAST_MARKS = 4
"""Numerical choice: marks below which there is no sphere."""

FLAT = 0.05
"""Numerical choice: marks whose depth is below this part of their breadth lie on one slice and give no centre."""


@dataclass(frozen=True)
class Sphere:
    """Centre (patient mm) and radius (mm) of a sphere, the SD of each, and the root mean square miss of the marks."""

    centre: Vector
    radius: float
    centre_sd_mm: float
    radius_sd_mm: float
    miss_mm: float


def sphere_of(marks: Floats, mark_sd_mm: float) -> Sphere:
    """The sphere of least squares through marks.

    Parameters
    ----------
    marks
        (n, 3) in patient mm, on the round edge of the head.
    mark_sd_mm
        How far a hand misses the edge; the marks' own misses take its place when they are larger.

    Raises
    ------
    ImageError
        When there are fewer than four marks or they lie on one slice or place.
    """
    if len(marks) < LEAST_MARKS:
        raise ImageError(f"the head needs {LEAST_MARKS} marks or more on its round edge; mark another")
    middle = marks.mean(axis=0)
    spread = np.linalg.svd(marks - middle, compute_uv=False)
    if spread[2] < FLAT * spread[0]:
        raise ImageError("the marks on the head lie on one slice, which leaves its depth open; mark it on another too")
    centre, radius = _start(marks - middle)
    for _ in range(20):
        away = (marks - middle) - centre
        far = np.linalg.norm(away, axis=1)
        slopes = np.column_stack([-away / far[:, None], -np.ones(len(marks))])
        step = np.linalg.lstsq(slopes, -(far - radius), rcond=None)[0]
        centre, radius = centre + step[:3], radius + float(step[3])
    away = (marks - middle) - centre
    far = np.linalg.norm(away, axis=1)
    slopes = np.column_stack([-away / far[:, None], -np.ones(len(marks))])
    free = len(marks) - LEAST_MARKS
    rms = float(np.sqrt(np.sum((far - radius) ** 2) / max(free, 1)))
    spread_of = np.linalg.pinv(slopes.T @ slopes) * max(rms, mark_sd_mm) ** 2
    x, y, z = (centre + middle).tolist()
    return Sphere(
        (x, y, z), float(radius), float(np.sqrt(np.trace(spread_of[:3, :3]) / 3)), float(np.sqrt(spread_of[3, 3])), rms
    )


def _start(marks: Floats) -> tuple[Floats, float]:
    system = np.column_stack([2 * marks, np.ones(len(marks))])
    found = np.linalg.lstsq(system, np.sum(marks**2, axis=1), rcond=None)[0]
    return found[:3], float(np.sqrt(max(0.0, found[3] + found[:3] @ found[:3])))
