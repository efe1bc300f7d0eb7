"""One cut through the bone: head arc, footprint arc, rounded corner, straight wall, in a plane through the head axis.

Plane coordinates: ``x`` against the head axis (away from the joint), ``r`` away from the head axis. A tangent
angle ``a`` means the direction (cos a, sin a); the outward normal is (-sin a, cos a). All fields are arrays that
broadcast together, so that many cuts are worked at once, in closed form both ways.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STRAIGHT = 1e-9
"""Numerical choice: curvature (1/mm) below which an arc is inverted as a straight line."""

SLACK = 1e-7
"""Numerical choice: how far (mm) outside a piece its own inverse may land and still count."""


def _step(length: Floats, angle: Floats, curvature: Floats) -> tuple[Floats, Floats]:
    """Displacement (x, r) along an arc that starts at ``angle`` and turns away from its normal."""
    half = curvature * length / 2
    chord = length * np.sinc(half / np.pi)
    return chord * np.cos(angle - half), chord * np.sin(angle - half)


def _unroll(along: Floats, out: Floats, curvature: Floats) -> tuple[Floats, Floats]:
    """Arc length and height of a point given along and out from the start of an arc."""
    reach, level = curvature * along, 1 + curvature * out
    size = np.hypot(reach, level)
    height = (curvature * (along**2 + out**2) + 2 * out) / (size + 1)
    bent = np.abs(curvature) > STRAIGHT
    safe = np.where(bent, curvature, 1)
    near = np.where(np.abs(level) > STRAIGHT, level, 1)
    return np.where(bent, np.arctan2(reach, level) / safe, along / near), height


@dataclass(frozen=True)
class Profile:
    """A cut: head sphere of ``radius`` up to polar angle ``half_arc``, then the footprint piece of ``breadth``
    starting at tangent ``start`` and turning by ``turn`` (radians), then the corner of ``corner`` length turning by
    ``corner_turn``, then the straight wall. Lengths in mm.
    """

    radius: float
    half_arc: float
    start: Floats
    breadth: Floats
    turn: Floats
    corner: Floats
    corner_turn: Floats

    def _pieces(self) -> list[tuple[Floats, Floats, Floats, Floats, Floats, Floats]]:
        """Begin in v, length, x, r, tangent and curvature of the three pieces past the margin."""
        x = np.full_like(self.start, -self.radius * np.cos(self.half_arc))
        r = np.full_like(self.start, self.radius * np.sin(self.half_arc))
        angle, begin = self.start, np.zeros_like(self.start)
        pieces = []
        endless = np.full_like(self.start, np.inf)
        for length, turn in ((self.breadth, self.turn), (self.corner, self.corner_turn)):
            curvature = turn / length
            pieces.append((begin, length, x, r, angle, curvature))
            dx, dr = _step(length, angle, curvature)
            x, r, angle, begin = x + dx, r + dr, angle - turn, begin + length
        pieces.append((begin, endless, x, r, angle, np.zeros_like(angle)))
        return pieces

    def place(self, v: Floats, z: Floats) -> tuple[Floats, Floats]:
        """Plane coordinates (x, r) of arc length ``v`` and height ``z`` (mm); v below 0 lies on the cartilage."""
        polar = self.half_arc + v / self.radius
        x, r = -(self.radius + z) * np.cos(polar), (self.radius + z) * np.sin(polar)
        for begin, _, x0, r0, angle, curvature in self._pieces():
            along = np.maximum(v - begin, 0)
            dx, dr = _step(along, angle, curvature)
            tangent = angle - curvature * along
            here = v >= begin
            x = np.where(here, x0 + dx - z * np.sin(tangent), x)
            r = np.where(here, r0 + dr + z * np.cos(tangent), r)
        return x, r

    def find(self, x: Floats, r: Floats) -> tuple[Floats, Floats]:
        """Arc length ``v`` and height ``z`` (mm) of plane points: the inverse of :meth:`place`.

        Of several pieces that hold a point the nearest one is taken, the bone before the cartilage; nan deeper
        than the centre of the corner, where no piece holds it.
        """
        polar = np.arctan2(r, -x)
        v_head = (polar - self.half_arc) * self.radius
        v = np.where(v_head < 0, v_head, np.nan)
        z = np.where(v_head < 0, np.hypot(x, r) - self.radius, np.nan)
        best = np.full(np.shape(v), np.inf)
        for begin, length, x0, r0, angle, curvature in self._pieces():
            dx, dr = x - x0, r - r0
            along = dx * np.cos(angle) + dr * np.sin(angle)
            out = -dx * np.sin(angle) + dr * np.cos(angle)
            arc, height = _unroll(along, out, curvature)
            whole = (arc >= -SLACK) & (arc <= length + SLACK) & (1 + curvature * height > 0)
            nearer = whole & (np.abs(height) < best)
            v = np.where(nearer, np.maximum(begin + arc, 0), v)
            z = np.where(nearer, height, z)
            best = np.where(nearer, np.abs(height), best)
        return v, z

    def tangent(self, v: Floats) -> Floats:
        """Tangent angle (radians) of the cut at ``v``."""
        angle = np.pi / 2 - self.half_arc - v / self.radius
        for begin, _, _, _, start, curvature in self._pieces():
            angle = np.where(v >= begin, start - curvature * np.maximum(v - begin, 0), angle)
        return np.asarray(angle)

    def curvature(self, v: Floats) -> Floats:
        """Curvature (1/mm, positive when convex) of the cut at ``v``."""
        bend = np.full(np.shape(v), 1 / self.radius)
        for begin, _, _, _, _, curvature in self._pieces():
            bend = np.where(v >= begin, curvature, bend)
        return np.asarray(bend)
