"""A circle through points: the algebraic start, the arc that agrees, and the geometric least squares."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from cuffwright.case.errors import ImageError

Floats = NDArray[np.float64]

SPANS = (1 / 12, 1 / 8, 1 / 6, 1 / 4)
"""Numerical choice: spacing, as a part of all points, of the triples a candidate circle is laid through."""


@dataclass(frozen=True)
class Circle:
    """Centre and radius in mm within the image plane, x across and y down."""

    x: float
    y: float
    radius: float

    def misses(self, points: Floats) -> Floats:
        """Signed distance of points (n, 2) from the line of the circle, mm, outside positive."""
        return np.asarray(np.hypot(points[:, 0] - self.x, points[:, 1] - self.y) - self.radius, np.float64)


def through(points: Floats) -> Circle:
    """The algebraic least-squares circle of points (n, 2), mm.

    Raises
    ------
    ImageError
        When there are fewer than three points or they lie on one line.
    """
    middle = points.mean(axis=0) if len(points) else np.zeros(2)
    shifted = points - middle
    design = np.column_stack([shifted, np.ones(len(points))])
    if len(points) < 3 or np.linalg.matrix_rank(design) < 3:
        raise ImageError("the marks lie on one line or are fewer than three; mark the round edge at three places")
    solved = np.linalg.lstsq(design, (shifted**2).sum(axis=1), rcond=None)[0]
    centre = solved[:2] / 2
    radius = math.sqrt(max(float(solved[2] + centre @ centre), 0.0))
    return Circle(float(middle[0] + centre[0]), float(middle[1] + centre[1]), radius)


def refined(start: Circle, points: Floats) -> tuple[Circle, Floats]:
    """The circle of least squared distance to points (n, 2), and the inverse normal matrix (3, 3) of x, y, radius.

    Multiply the matrix by the variance of a point to have the covariance of the circle.
    """

    def misses(guess: Floats) -> Floats:
        return Circle(float(guess[0]), float(guess[1]), float(guess[2])).misses(points)

    x, y, radius = least_squares(misses, [start.x, start.y, start.radius]).x.tolist()
    away = points - (x, y)
    slopes = np.column_stack([-away / np.hypot(away[:, :1], away[:, 1:]), -np.ones(len(points))])
    return Circle(x, y, radius), np.asarray(np.linalg.pinv(slopes.T @ slopes), np.float64)


def agreeing_arc(points: Floats, usable: NDArray[np.bool_], tolerance: float, bridge: int) -> NDArray[np.bool_]:
    """Which of the points, in order around a centre, form the longest arc that one circle explains.

    Parameters
    ----------
    points
        (n, 2), one per direction in order, mm.
    usable
        Which of them may count.
    tolerance
        Largest distance from the circle, mm.
    bridge
        How many missing directions in a row an arc may step over.
    """
    count = len(points)
    best = np.zeros(count, np.bool_)
    first = np.arange(count)
    steps = [max(round(count * span), 1) for span in SPANS]
    trios = np.concatenate([np.column_stack([first, first + step, first + 2 * step]) % count for step in steps])
    x, y, radius = _through_trios(points[trios[usable[trios].all(axis=1)]])
    off = np.hypot(points[:, 0] - x[:, None], points[:, 1] - y[:, None]) - radius[:, None]
    close = usable & (np.abs(off) <= tolerance)
    # no arc is longer than all that agrees, so the candidates are tried by that and the search stops early
    for candidate in np.argsort(-close.sum(axis=1), kind="stable"):
        if close[candidate].sum() <= best.sum():
            break
        arc = longest_run(close[candidate], bridge)
        if arc.sum() > best.sum():
            best = arc
    return best


def longest_run(good: NDArray[np.bool_], bridge: int) -> NDArray[np.bool_]:
    """The good directions of the longest stretch around the ring whose gaps are at most ``bridge`` directions.

    >>> longest_run(np.array([True, True, False, False, True]), 1).tolist()
    [True, True, False, False, True]
    """
    places = np.flatnonzero(good)
    kept = np.zeros_like(good)
    if len(places) == 0:
        return kept
    gaps = np.diff(np.append(places, places[0] + len(good)))
    breaks = np.flatnonzero(gaps > bridge + 1)
    if len(breaks) == 0:
        return good.copy()
    turned = np.roll(places, -(breaks[0] + 1))
    runs = np.split(turned, np.cumsum(np.diff(np.append(breaks, breaks[0] + len(places))))[:-1])
    kept[max(runs, key=len)] = True
    return kept


def arc_degrees(kept: NDArray[np.bool_]) -> float:
    """Angle covered by the kept directions, from the first to the last of their stretch around the ring."""
    places = np.flatnonzero(kept)
    if len(places) < 2:
        return 0.0
    gaps = np.diff(np.append(places, places[0] + len(kept)))
    return float((len(kept) - gaps.max()) * 360 / len(kept)) if gaps.max() > 1 else 360.0


def _through_trios(trios: Floats) -> tuple[Floats, Floats, Floats]:
    """Centre and radius of the circles through (n, 3) points, those on one line left out."""
    b, c = trios[:, 1] - trios[:, 0], trios[:, 2] - trios[:, 0]
    twice = 2 * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    bent = twice != 0
    b, c, twice, origin = b[bent], c[bent], twice[bent], trios[bent, 0]
    bb, cc = (b**2).sum(axis=1), (c**2).sum(axis=1)
    x, y = (c[:, 1] * bb - b[:, 1] * cc) / twice, (b[:, 0] * cc - c[:, 0] * bb) / twice
    return x + origin[:, 0], y + origin[:, 1], np.hypot(x, y)
