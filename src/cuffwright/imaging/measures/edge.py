"""An outline that follows the strongest edge between clicks: the cheapest way over the picture from one to the next.

A step is cheap along a steep slope of the smoothed values and dear elsewhere, and dear far from the straight line, so
that more clicks lead it more closely; the way is found by the shortest path through a box around the two clicks.
"""

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures.planar import Floats

SMOOTHING_PX = 1.5
"""Numerical choice: SD of the smoothing before slopes are taken, pixels."""

MARGIN_PX = 12
"""Numerical choice: how far beyond two clicks the way may stray, pixels."""

LEAST_COST = 0.03
"""Numerical choice: cost of a step along the steepest edge, against 1 where there is none."""

CORRIDOR = 0.15
"""Numerical choice: how far the way may bow out from the straight line before it grows dear, of the line's length."""

LEAST_CORRIDOR_PX = 2.0
"""Numerical choice: and at least this many pixels."""

MOST_PIXELS = 250_000
"""Numerical choice: the largest box searched between two clicks."""


def follow_edge(values: NDArray[np.number], clicks: Floats, *, closed: bool = True) -> Floats:
    """The outline (n, 2) in pixels through ``clicks`` (m, 2), following edges from each to the next.

    Raises
    ------
    ImageError
        When there are fewer than two clicks, one lies outside, or two are too far apart to be joined.
    """
    points = np.rint(np.asarray(clicks, np.float64)).astype(int)
    rows, columns = values.shape
    if len(points) < 2:
        raise ImageError("an edge is followed between two clicks or more; set another")
    if (points < 0).any() or (points >= (columns, rows)).any():
        raise ImageError("a click lies outside the picture; set it again")
    ends = np.roll(points, -1, axis=0) if closed else points[1:]
    parts = [_way(values, start, end) for start, end in zip(points, ends, strict=False) if (start != end).any()]
    if not parts:
        raise ImageError("the clicks lie on one place; set them apart")
    return np.concatenate([part[:-1] for part in parts] + ([] if closed else [parts[-1][-1:]])).astype(np.float64)


def _way(values: NDArray[np.number], start: NDArray[np.int_], end: NDArray[np.int_]) -> NDArray[np.int_]:
    rows, columns = values.shape
    low = np.maximum(np.minimum(start, end) - MARGIN_PX, 0)
    high = np.minimum(np.maximum(start, end) + MARGIN_PX + 1, (columns, rows))
    wide, tall = high - low
    if wide * tall > MOST_PIXELS:
        raise ImageError("two clicks are too far apart for the edge to be followed; set more between them")
    slope = ndimage.gaussian_gradient_magnitude(values[low[1] : high[1], low[0] : high[0]].astype(float), SMOOTHING_PX)
    cost = LEAST_COST + 1 - slope / max(float(slope.max()), np.finfo(float).tiny)
    cost += _straying(low, wide, tall, start, end)
    one, other = (int((p[1] - low[1]) * wide + p[0] - low[0]) for p in (start, end))
    _, before = dijkstra(_steps(cost), directed=False, indices=np.array([one]), return_predecessors=True)
    way = [other]
    while way[-1] != one:
        way.append(int(before[0, way[-1]]))
    steps = np.array(way[::-1])
    return np.column_stack([steps % wide + low[0], steps // wide + low[1]])


def _straying(
    low: NDArray[np.int_], wide: int, tall: int, start: NDArray[np.int_], end: NDArray[np.int_]
) -> NDArray[np.float64]:
    """Square of each pixel's distance from the straight line, in widths of the corridor."""
    y, x = np.mgrid[:tall, :wide]
    (dx, dy), long = end - start, float(np.hypot(*(end - start)))
    off = np.abs(dx * (y + low[1] - start[1]) - dy * (x + low[0] - start[0])) / long
    return np.asarray((off / max(LEAST_CORRIDOR_PX, CORRIDOR * long)) ** 2)


def _steps(cost: NDArray[np.float64]) -> csr_array:
    """Cost of every step between neighbouring pixels, corners included."""
    tall, wide = cost.shape
    number = np.arange(tall * wide).reshape(tall, wide)
    pairs = []
    for down, across in ((0, 1), (1, 0), (1, 1), (1, -1)):
        here = (slice(0, tall - down), slice(max(-across, 0), wide - max(across, 0)))
        there = (slice(down, tall), slice(max(across, 0), wide - max(-across, 0)))
        mean = (cost[here] + cost[there]) / 2 * np.hypot(down, across)
        pairs.append((number[here].ravel(), number[there].ravel(), mean.ravel()))
    start, end, price = (np.concatenate(part) for part in zip(*pairs, strict=True))
    return csr_array((price, (start, end)), shape=(number.size, number.size))
