"""How much of every cell of a grid a drawn polygon covers: exact, for any polygon, slivers and notches included."""

from collections.abc import Sequence

import numpy as np

from cuffwright.mechanics.net import Floats

Corner = tuple[float, float]


def covered(polygon: Sequence[Corner], u: Floats, v: Floats) -> Floats:
    """Share (rows, columns) of each cell between the grid lines ``u`` and ``v`` (mm) that ``polygon`` covers.

    The polygon is closed of itself and may turn either way; parts of it outside the grid are cut off. Where it
    crosses itself, parts run round in opposite senses cancel.
    """
    share = np.zeros((v.size - 1, u.size - 1))
    for column in range(u.size - 1):
        strip = keep(keep(list(polygon), 0, u[column], 1.0), 0, u[column + 1], -1.0)
        if not strip:
            continue
        heights = [corner[1] for corner in strip]
        low = max(0, int(np.searchsorted(v, min(heights), "right")) - 1)
        high = min(v.size - 1, int(np.searchsorted(v, max(heights), "left")))
        for row in range(low, high):
            cell = keep(keep(strip, 1, v[row], 1.0), 1, v[row + 1], -1.0)
            share[row, column] = abs(area(cell)) / ((u[column + 1] - u[column]) * (v[row + 1] - v[row]))
    clipped: Floats = np.clip(share, 0.0, 1.0)
    return clipped


def keep(polygon: list[Corner], axis: int, line: float, side: float) -> list[Corner]:
    """The part of ``polygon`` where ``side`` times (coordinate - ``line``) is not below zero."""
    kept: list[Corner] = []
    for n, here in enumerate(polygon):
        before = polygon[n - 1]
        one, two = side * (before[axis] - line), side * (here[axis] - line)
        if (one < 0.0) != (two < 0.0):
            way = one / (one - two)
            kept.append((before[0] + way * (here[0] - before[0]), before[1] + way * (here[1] - before[1])))
        if two >= 0.0:
            kept.append(here)
    return kept


def area(polygon: Sequence[Corner]) -> float:
    """Area of a closed polygon, positive where it runs counter-clockwise."""
    return 0.5 * sum(polygon[n - 1][0] * here[1] - here[0] * polygon[n - 1][1] for n, here in enumerate(polygon))
