"""Distances, angles and outlines in the plane of a picture; points (2,) and outlines (n, 2), x across and y down."""

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError

Floats = NDArray[np.float64]


def distance(one: Floats, other: Floats) -> float:
    """Straight distance between two points, in their unit."""
    return float(np.hypot(*(other - one)))


def angle_between_degrees(one: Floats, other: Floats) -> float:
    """Angle between two directions, 0 to 180 degrees.

    Raises
    ------
    ImageError
        When a direction has no length.
    """
    if not np.any(one) or not np.any(other):
        raise ImageError("two marks lie on the same point, which gives no direction; mark them apart")
    cross = one[0] * other[1] - one[1] * other[0]
    return float(np.degrees(np.arctan2(abs(cross), one @ other)))


def off_line(point: Floats, start: Floats, end: Floats) -> float:
    """Signed distance of a point from the line through two others; its sign tells the side.

    Raises
    ------
    ImageError
        When the two are the same.
    """
    along = end - start
    long = np.hypot(*along)
    if long == 0:
        raise ImageError("two marks lie on the same point, which gives no line; mark them apart")
    away = point - start
    return float((along[0] * away[1] - along[1] * away[0]) / long)


def area(outline: Floats) -> float:
    """Area inside an outline, in its unit squared."""
    x, y = outline[:, 0], outline[:, 1]
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def length_around(outline: Floats) -> float:
    """Length of an outline, in its unit."""
    steps = np.roll(outline, -1, axis=0) - outline
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def inside(outline: Floats, rows: int, columns: int) -> tuple[slice, slice, NDArray[np.bool_]]:
    """The box of rows and columns around an outline in pixels, and which pixel centres in it lie inside.

    Raises
    ------
    ImageError
        When no pixel centre lies inside.
    """
    low = np.floor(outline.min(axis=0)).astype(int)
    high = np.ceil(outline.max(axis=0)).astype(int) + 1
    across = slice(max(int(low[0]), 0), min(int(high[0]), columns))
    down = slice(max(int(low[1]), 0), min(int(high[1]), rows))
    x, y = np.arange(across.start, across.stop), np.arange(down.start, down.stop)[:, None]
    held = np.zeros((len(y), len(x)), np.bool_)
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if y0 == y1:
            continue
        crosses = (y0 <= y) != (y1 <= y)
        held ^= crosses & (x < x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    if not held.any():
        raise ImageError("an outline holds no pixel; draw it larger")
    return down, across, held
