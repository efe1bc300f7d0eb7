"""Where the skin lies over acromion and deltoid: an estimate, so that a portal has a point to start from.

No series measures skin over the acromion, so these depths are assumed and widen every answer; they lengthen or
shorten a path and tilt it a little. The skin is taken to stay with the scapula when the arm moves.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.turning import unit

Floats = NDArray[np.float64]

STEPS = 200
"""Numerical choice: points along the contour of the skin among which a portal is found."""


@dataclass(frozen=True)
class Envelope:
    """The skin round one shoulder, scapula frame.

    ``head`` is the head centre, ``radius`` the distance of the skin from it over the full deltoid, ``shallow`` the
    skin over bone, ``full_degrees`` how far round from the acromion's edge the deltoid is full, ``body`` the body's
    axes (columns forward, up, lateral).
    """

    head: Floats
    radius: float
    shallow: float
    full_degrees: float
    body: Floats

    @property
    def up(self) -> Floats:
        """The hanging body's upward direction (3,)."""
        return np.asarray(self.body[:, 1])

    def below_edge(self, edge: Floats, outward: Floats, drop: float) -> Floats:
        """Skin point (3,) that lies ``drop`` mm below the acromion's edge point ``edge``, the body hanging.

        Sought in the plane of ``outward`` and the body's vertical: the skin leaves the bone obliquely at the edge and
        swells to the full deltoid.
        """
        up = self.up
        out = self._level(outward)
        centre = edge + ((self.head - edge) @ up) * up + ((self.head - edge) @ out) * out
        start = edge + self.shallow * unit(up + out)
        first = np.arctan2((start - centre) @ out, (start - centre) @ up)
        near = float(np.linalg.norm(start - centre))
        angle = np.linspace(first, np.pi, STEPS)
        share = np.clip((angle - first) / np.radians(self.full_degrees), 0, 1)
        away = near + max(self.radius - near, 0.0) * share**2 * (3 - 2 * share)
        points = centre + (away * np.cos(angle))[:, None] * up + (away * np.sin(angle))[:, None] * out
        fall = np.maximum.accumulate((edge - points) @ up)
        return np.array([np.interp(drop, fall, points[:, axis]) for axis in range(3)])

    def beside_edge(self, edge: Floats, outward: Floats, off: float) -> Floats:
        """Skin point (3,) over a place ``off`` mm outwards of the acromion's edge point ``edge``."""
        return np.asarray(edge + off * self._level(outward) + self.shallow * self.up)

    def _level(self, outward: Floats) -> Floats:
        """``outward`` brought level with the body's floor, at length 1."""
        return unit(outward - (outward @ self.up) * self.up)

    def along(self, start: Floats, direction: Floats) -> Floats:
        """Where the ray from ``start`` (3,) leaves the skin; never less than the skin over bone away."""
        way = unit(direction)
        away = start - self.head
        half = away @ way
        square = half**2 - (away @ away - self.radius**2)
        reach = -half + np.sqrt(np.maximum(square, 0.0))
        return np.asarray(start + way * np.maximum(reach, self.shallow))
