"""The map of the footprint: (u, v, z) on the humerus and back.

``u`` arc length (mm) along the articular margin from the front of the greater tuberosity backwards; ``v`` arc length
from the margin laterally, over the footprint, round the corner, down the wall (below 0: on the cartilage);
``z`` outwards, along the normal of the cut through the head axis. The three carry no side.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cuffwright.anatomy.area import enclosed
from cuffwright.anatomy.chord import span_between, span_from_chord
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.profile import Profile
from cuffwright.anatomy.strip import Strip
from cuffwright.anatomy.terrain import Feature, draw
from cuffwright.anatomy.wall import WallRun

Floats = NDArray[np.float64]

NUDGE = 1e-5
"""Numerical choice: step (radians about the head axis) of the central difference along u."""


def _as_given(values: Floats) -> Floats:
    """A lone value as a plain number, many as they are."""
    return np.asarray(values)[()]


def _floats(*values: ArrayLike) -> list[Floats]:
    """The values as float arrays of one common shape."""
    return [np.array(a, dtype=np.float64) for a in np.broadcast_arrays(*values)]


@dataclass(frozen=True)
class FootprintChart:
    """The chart of one humerus; all lengths in mm, arrays broadcast."""

    shape: HumerusShape

    @cached_property
    def strip(self) -> Strip:
        """The course of the strip behind the chart."""
        return Strip(self.shape)

    @property
    def length(self) -> float:
        """Length of the footprint of both tendons along the margin (mm)."""
        return self.shape.footprint.length

    @property
    def groove(self) -> float:
        """u of the biceps groove, the front boundary of the tuberosity (mm, below 0)."""
        return self.strip.groove_u

    @property
    def back(self) -> float:
        """u of the lower end of teres minor, where the chart ends (mm)."""
        return max(self.length, self.shape.footprint.gap_back_at)

    def _cut(self, u: Floats) -> Profile:
        return self.strip.profile(self.strip.turn(u))

    def _space(self, turn: Floats, x: Floats, r: Floats) -> Floats:
        head, upper, behind = self.shape.axes
        round_about = np.cos(turn)[..., None] * upper + np.sin(turn)[..., None] * behind
        return np.asarray(-x[..., None] * head + r[..., None] * round_about)

    def to_humerus(self, u: ArrayLike, v: ArrayLike, z: ArrayLike = 0.0) -> Floats:
        """Points (..., 3) in the humerus frame (mm) of chart points."""
        us, vs, zs = _floats(u, v, z)
        turn = self.strip.turn(us)
        return self._space(turn, *self.strip.profile(turn).place(vs, zs))

    def to_chart(self, points: ArrayLike) -> Floats:
        """Chart points (..., 3) of humerus points (..., 3): the inverse of :meth:`to_humerus`.

        nan where a point lies deeper in the bone than the centre of the rounded corner.
        """
        spots = np.asarray(points, dtype=np.float64)
        head, upper, behind = self.shape.axes
        a, b = spots @ upper, spots @ behind
        turn = np.arctan2(b, a)
        v, z = self.strip.profile(turn).find(-(spots @ head), np.hypot(a, b))
        return np.stack([self.strip.u(turn), v, z], axis=-1)

    def tangents(self, u: ArrayLike, v: ArrayLike) -> tuple[Floats, Floats]:
        """Derivatives (..., 3) of the surface point by ``u`` and by ``v``."""
        us, vs = _floats(u, v)
        turn = self.strip.turn(us)
        zero = np.zeros_like(vs)
        ahead = self._space(turn + NUDGE, *self.strip.profile(turn + NUDGE).place(vs, zero))
        behind = self._space(turn - NUDGE, *self.strip.profile(turn - NUDGE).place(vs, zero))
        by_u = (ahead - behind) / (2 * NUDGE * self.shape.margin_radius)
        angle = self.strip.profile(turn).tangent(vs)
        return by_u, self._space(turn, np.cos(angle), np.sin(angle))

    def normals(self, u: ArrayLike, v: ArrayLike) -> Floats:
        """Outward unit normals (..., 3) of the bone, humerus frame."""
        by_u, by_v = self.tangents(u, v)
        across = np.cross(by_u, by_v)
        return np.asarray(across / np.linalg.norm(across, axis=-1, keepdims=True))

    def jacobian(self, u: ArrayLike, v: ArrayLike) -> Floats:
        """mm2 of bone per mm2 of map."""
        return np.asarray(np.linalg.norm(np.cross(*self.tangents(u, v)), axis=-1))

    def inclination_degrees(self, u: ArrayLike, v: ArrayLike) -> Floats:
        """Inclination of the surface to the axial plane, 0 level, 90 upright."""
        return np.asarray(np.degrees(np.arccos(np.clip(self.normals(u, v)[..., 1], -1, 1))))

    def area(self, polygon: ArrayLike) -> float:
        """Area (mm2) on the bone of a simple polygon (n, 2) in (u, v)."""
        return enclosed(np.asarray(polygon, dtype=np.float64), self.jacobian, self._breaks, self.strip.seams)

    def rectangle_area(self, front: float, back: float, medial: float, lateral: float) -> float:
        """Area (mm2) on the bone of the map rectangle between two u and two v."""
        return self.area([(front, medial), (back, medial), (back, lateral), (front, lateral)])

    def _breaks(self, u: Floats) -> tuple[Floats, Floats]:
        cut = self._cut(u)
        return cut.breadth, cut.breadth + cut.corner

    @overload
    def edge(self, u: float) -> float: ...
    @overload
    def edge(self, u: Floats) -> Floats: ...
    def edge(self, u: float | Floats) -> float | Floats:
        """v of the lateral edge of the footprint (mm) at one u or at many."""
        return _as_given(self.shape.footprint.breadth(np.asarray(u, dtype=np.float64)))

    @overload
    def gap(self, u: float) -> float: ...
    @overload
    def gap(self, u: Floats) -> Floats: ...
    def gap(self, u: float | Floats) -> float | Floats:
        """v at which the insertion begins: width of the bare area (mm), never past the lateral edge."""
        us = np.asarray(u, dtype=np.float64)
        return _as_given(np.minimum(self.shape.footprint.gap(us), self.edge(us)))

    @overload
    def corner(self, u: float) -> float: ...
    @overload
    def corner(self, u: Floats) -> Floats: ...
    def corner(self, u: float | Floats) -> float | Floats:
        """v of the tuberosity's outer edge, where the bone begins to turn down (mm)."""
        return _as_given(self._cut(np.asarray(u, dtype=np.float64)).breadth)

    @property
    def wall_height(self) -> float:
        """Height of the lateral wall along the bone (mm)."""
        return self.shape.wall_height

    @overload
    def wall_bottom(self, u: float) -> float: ...
    @overload
    def wall_bottom(self, u: Floats) -> Floats: ...
    def wall_bottom(self, u: float | Floats) -> float | Floats:
        """v of the lower end of the lateral wall (mm)."""
        return self.corner(u) + self.wall_height

    def on_footprint(self, u: ArrayLike, v: ArrayLike) -> NDArray[np.bool_]:
        """Whether map points lie on the insertion of supraspinatus or infraspinatus."""
        us, vs = _floats(u, v)
        return np.asarray((us >= 0) & (us <= self.length) & (vs >= self.gap(us)) & (vs <= self.edge(us)))

    def on_bone(self, u: ArrayLike, v: ArrayLike) -> NDArray[np.bool_]:
        """Whether map points lie on the tuberosity between cartilage, groove and the ends of wall and chart."""
        us, vs = _floats(u, v)
        along = (us >= self.groove) & (us <= self.back)
        return np.asarray(along & (vs >= 0) & (vs <= self.wall_bottom(us)))

    def curvature(self, u: ArrayLike, v: ArrayLike) -> Floats:
        """Curvature (1/mm, convex positive) of the bone along a fibre, that is along ``v``."""
        us, vs = _floats(u, v)
        return self._cut(us).curvature(vs)

    def wall_run(self, u: float, drop: float) -> WallRun:
        """The way from the footprint's lateral edge at ``u`` to the wall ``drop`` mm further along the bone.

        Raises
        ------
        CaseError
            When the place is not on the lateral wall.
        """
        return WallRun.over(self._cut(np.asarray(u, dtype=np.float64)), self.edge(u), drop, self.wall_bottom(u))

    def wall_point(self, u: float, drop: float) -> tuple[float, float]:
        """(v, z) of that wall place in the flattened frame of the mechanics: footprint plane z = 0, straight wall."""
        return self.wall_run(u, drop).flattened

    def exit_angle_degrees(self, u: float, drop: float) -> float:
        """Angle between the footprint plane and the way to that wall place (90 = square to the footprint)."""
        return self.wall_run(u, drop).exit_degrees

    def chord(self, front: float, back: float, v: float) -> float:
        """Straight distance (mm) in space between two places of equal ``v``: what an image shows."""
        return span_between(lambda u: self.to_humerus(u, v), front, back)

    def span_from_chord(self, chord: float, front: float, v: float) -> float:
        """u span (mm) whose straight distance at ``v``, counted backwards from ``front``, is ``chord``.

        Raises
        ------
        CaseError
            When the bone has no such chord.
        """
        return span_from_chord(lambda u: self.to_humerus(u, v), chord, front, self.back + self.length)

    def terrain(self, spacing: float = 1.0) -> tuple[Feature, ...]:
        """Named lines and areas of the map in (u, v), a vertex every ``spacing`` mm."""
        return draw(self, spacing)
