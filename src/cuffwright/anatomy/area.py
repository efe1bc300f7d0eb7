"""Area on the bone of a polygon of the map, as one integral around its outline (Green's theorem)."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import CaseError

Floats = NDArray[np.float64]

ORDER = 8
"""Numerical choice: Gauss points on each panel of the outline and on each piece across."""

PANEL = 3.0
"""Numerical choice: longest panel (mm) of the outline."""


def enclosed(
    polygon: Floats,
    density: Callable[[Floats, Floats], Floats],
    breaks: Callable[[Floats], tuple[Floats, Floats]],
    stops: Floats,
) -> float:
    """Integral of ``density(u, v)`` over a simple polygon (n, 2), which may be wound either way.

    ``breaks(u)`` gives the two v where the density has kinks, beside v = 0; ``stops`` are the u where it has.

    Raises
    ------
    CaseError
        When the polygon has fewer than three corners.
    """
    if polygon.ndim != 2 or len(polygon) < 3:
        raise CaseError("an area needs an outline of three points or more; draw it again")
    points, weights = np.polynomial.legendre.leggauss(ORDER)
    outline = _split(polygon, stops)
    us, vs, shares = [], [], []
    for start, end in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if start[0] == end[0]:
            continue
        panels = max(1, int(np.ceil(np.linalg.norm(end - start) / PANEL)))
        share = (np.arange(panels)[:, None] + (points + 1) / 2).ravel() / panels
        us.append(start[0] + share * (end[0] - start[0]))
        vs.append(start[1] + share * (end[1] - start[1]))
        shares.append(np.tile(weights, panels) / (2 * panels) * (end[0] - start[0]))
    if not us:
        return 0.0
    inner = _across(np.concatenate(us), np.concatenate(vs), density, breaks, points, weights)
    return abs(float(inner @ np.concatenate(shares)))


def _split(polygon: Floats, stops: Floats) -> Floats:
    """The outline with a vertex wherever an edge crosses one of the u in ``stops``."""
    vertices = []
    for start, end in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        low, high = min(start[0], end[0]), max(start[0], end[0])
        inside = stops[(stops > low) & (stops < high)]
        shares = np.sort((inside - start[0]) / (end[0] - start[0])) if inside.size else inside
        vertices.append(start + np.concatenate([[0.0], shares])[:, None] * (end - start))
    return np.concatenate(vertices)


def _across(
    u: Floats,
    v: Floats,
    density: Callable[[Floats, Floats], Floats],
    breaks: Callable[[Floats], tuple[Floats, Floats]],
    points: Floats,
    weights: Floats,
) -> Floats:
    """Integral of the density from v = 0 to ``v`` at every ``u``, piece by piece."""
    first, second = breaks(u)
    zero = np.zeros_like(v)
    ends = [
        (zero, np.minimum(v, zero)),
        (zero, np.clip(v, 0, first)),
        (first, np.clip(v, first, second)),
        (second, np.maximum(v, second)),
    ]
    total = np.zeros_like(v)
    for low, high in ends:
        held = np.flatnonzero(high != low)
        run = (high - low)[held]
        spots = low[held][:, None] + run[:, None] * (points + 1) / 2
        values = density(np.broadcast_to(u[held][:, None], spots.shape), spots)
        total[held] += run / 2 * (values @ weights)
    return total
