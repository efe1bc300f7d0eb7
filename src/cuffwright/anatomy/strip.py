"""The course of the footprint strip around the head axis: where it starts, how it tilts, how broad it is.

``turn`` is the angle about the head axis, 0 in the head plane, positive backwards; ``u`` is its arc on the margin
circle, 0 at the front of the greater tuberosity. Three rules fix the strip:

1. In the head plane it leaves the margin at the superior facet's inclination and ends at the tuberosity's outer
   edge; one circular arc joins the two (a straight line where that would be hollow). The bend is kept throughout.
2. At the middle and inferior facets its chord takes the facet's inclination, or the head sphere's own where the
   facet would lie inside the sphere. Between them the tilt is blended monotonically (piecewise cubic).
3. The wall stands upright: its tilt is the one whose normal is level.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.profile import Profile
from cuffwright.case.errors import CaseError

Floats = NDArray[np.float64]

FARTHEST = 2.2
"""Numerical choice: how far back (radians about the head axis) a facet is searched."""

LEAST_CORNER = 0.25
"""Numerical choice: least turning (radians) that sets the length of the rounded corner."""


@dataclass(frozen=True)
class Strip:
    """The strip of one humerus.

    Raises
    ------
    CaseError
        When first asked, if the facets cannot lie behind one another on this bone.
    """

    shape: HumerusShape

    @cached_property
    def outer(self) -> tuple[float, float]:
        """Plane coordinates (x, r) of the tuberosity's outer edge in the head plane (mm)."""
        lateral, below = self.shape.outer_edge
        height = self.shape.head_radius - below
        lean = self.shape.lean
        x = -np.cos(lean) * height + np.sin(lean) * lateral
        return float(x), float(np.sin(lean) * height + np.cos(lean) * lateral)

    @cached_property
    def chord(self) -> tuple[float, float]:
        """Length (mm) and tilt (radians) of the straight line from margin to outer edge in the head plane."""
        dx = self.outer[0] + self.shape.head_radius * np.cos(self.shape.half_arc)
        dr = self.outer[1] - self.shape.margin_radius
        return float(np.hypot(dx, dr)), float(np.arctan2(dr, dx))

    @cached_property
    def bend(self) -> float:
        """By how much (radians) the strip turns from margin to outer edge."""
        superior = self.tilt_of(self.shape.facets[0].inclination_degrees, 0.0)
        return float(2 * max(0.0, superior - self.chord[1]))

    @cached_property
    def bone_breadth(self) -> float:
        """Arc length (mm) from margin to outer edge in the head plane."""
        return float(self.chord[0] / np.sinc(self.bend / 2 / np.pi))

    def tilt_of(self, inclination_degrees: float, turn: float) -> float:
        """Tilt of a piece of given inclination to the axial plane; the flattest possible where there is none."""
        level, steep = np.cos(self.shape.lean), np.cos(turn) * np.sin(self.shape.lean)
        size = np.hypot(level, steep)
        return float(np.arctan2(level, steep) - np.arccos(min(1.0, np.cos(np.radians(inclination_degrees)) / size)))

    def _front(self, degrees: float) -> float:
        """Turn of the profile whose outer edge lies ``degrees`` in front of the head plane about the shaft axis."""
        shape, (x, r) = self.shape, self.outer

        def miss(turn: float) -> float:
            lateral = x * np.sin(shape.lean) + r * np.cos(turn) * np.cos(shape.lean) - shape.medial_offset
            forward = -r * np.sin(turn) - shape.posterior_offset
            return float(np.arctan2(forward, lateral) - np.radians(degrees))

        if miss(-np.pi / 2) * miss(np.pi / 2) > 0:
            raise CaseError("the front of the tuberosity cannot be placed on this bone; check the head offsets")
        return float(brentq(miss, -np.pi / 2, np.pi / 2))

    @cached_property
    def front(self) -> float:
        """Turn (radians) of the front of the greater tuberosity, where u is 0."""
        return self._front(self.shape.front_margin_degrees)

    @cached_property
    def groove_u(self) -> float:
        """u (mm, below 0) of the biceps groove."""
        return min(0.0, float(self.u(np.asarray(self._front(self.shape.groove_degrees)))))

    def turn(self, u: Floats) -> Floats:
        """Turn (radians) about the head axis at ``u``."""
        return np.asarray(self.front + u / self.shape.margin_radius)

    def u(self, turn: Floats) -> Floats:
        """Arc along the margin (mm) at ``turn``."""
        return np.asarray((turn - self.front) * self.shape.margin_radius)

    def corner(self, u: Floats) -> Floats:
        """v of the outer edge of the tuberosity (mm), tapering as the footprint does.

        A footprint measured broader than the bone moves the corner outwards with it.
        """
        footprint = self.shape.footprint
        head_plane = footprint.breadth(self.u(np.asarray(0.0)))
        return np.asarray(footprint.breadth(u) * np.maximum(1, self.bone_breadth / head_plane))

    def _facet_azimuth(self, turn: float, tilt: float) -> float:
        """Azimuth (degrees) about the head centre of the middle of the strip at ``turn``."""
        shape = self.shape
        half = float(self.corner(self.u(np.asarray(turn)))) * np.sinc(self.bend / 2 / np.pi) / 2
        x = -shape.head_radius * np.cos(shape.half_arc) + half * np.cos(tilt)
        r = shape.margin_radius + half * np.sin(tilt)
        lateral = x * np.sin(shape.lean) + r * np.cos(turn) * np.cos(shape.lean)
        return float(np.degrees(np.arctan2(lateral, -r * np.sin(turn))) % np.degrees(2 * np.pi))

    def _facet(self, place: int) -> tuple[float, float]:
        """Turn and tilt (radians) at the centre of facet ``place``."""
        facet = self.shape.facets[place]

        def tilt(turn: float) -> float:
            half = self.corner(self.u(np.asarray(turn))) * np.sinc(self.bend / 2 / np.pi) / 2
            sphere = np.pi / 2 - self.shape.half_arc - np.arcsin(min(1.0, float(half) / self.shape.head_radius))
            return max(self.tilt_of(facet.inclination_degrees, turn), float(sphere))

        def miss(turn: float) -> float:
            return self._facet_azimuth(turn, tilt(turn)) - facet.azimuth_degrees

        if miss(0.0) >= 0 or miss(FARTHEST) <= 0:
            raise CaseError(f"the {facet.name} facet does not lie behind the head plane; check its azimuth")
        turn = float(brentq(miss, 0.0, FARTHEST))
        return turn, tilt(turn)

    @cached_property
    def _tilts(self) -> PchipInterpolator:
        (middle, mid_tilt), (inferior, end_tilt) = self._facet(1), self._facet(2)
        if inferior <= middle:
            raise CaseError("the inferior facet must lie behind the middle one; check the facet azimuths")
        turns = [min(self.front, 0.0) - 1, 0.0, middle, inferior, 2 * inferior - middle]
        return PchipInterpolator(turns, [self.chord[1], self.chord[1], mid_tilt, end_tilt, end_tilt])

    @cached_property
    def seams(self) -> Floats:
        """u (mm) where the strip is smooth only to first order: nodes of the blend, ends of the footprint."""
        return np.sort(np.concatenate([self.u(np.asarray(self._tilts.x)), [0.0, self.shape.footprint.length]]))

    @cached_property
    def facet_borders(self) -> tuple[float, float]:
        """u (mm) of the borders superior/middle and middle/inferior: half way between the facets' azimuths."""
        edges = []
        for before, after in ((0, 1), (1, 2)):
            azimuth = (self.shape.facets[before].azimuth_degrees + self.shape.facets[after].azimuth_degrees) / 2

            def miss(turn: float, azimuth: float = azimuth) -> float:
                return self._facet_azimuth(turn, float(self.tilt(np.asarray(turn)))) - azimuth

            edges.append(float(self.u(np.asarray(brentq(miss, self.front, FARTHEST)))))
        return edges[0], edges[1]

    def facet_turn(self, place: int) -> float:
        """Turn (radians) of the centre of facet 0 (superior), 1 (middle) or 2 (inferior)."""
        return 0.0 if place == 0 else self._facet(place)[0]

    def tilt(self, turn: Floats) -> Floats:
        """Tilt (radians) of the chord from margin to outer edge at ``turn``."""
        nodes = self._tilts.x
        return np.asarray(self._tilts(np.clip(turn, nodes[0], nodes[-1])), dtype=np.float64)

    def profile(self, turn: Floats) -> Profile:
        """The cut (arrays) at ``turn``; behind the footprint its last cut is carried on."""
        last = self.turn(np.asarray(self.shape.footprint.length))
        held = np.minimum(turn, last)
        start = self.tilt(held) + self.bend / 2
        wall = -np.arctan(np.cos(held) * np.tan(self.shape.lean))
        first = self.chord[1] - self.bend / 2 + self.shape.lean
        corner = self.shape.corner_radius * max(LEAST_CORNER, first)
        return Profile(
            self.shape.head_radius,
            self.shape.half_arc,
            start,
            self.corner(self.u(held)),
            np.full_like(start, self.bend),
            np.full_like(start, corner),
            start - self.bend - wall,
        )
