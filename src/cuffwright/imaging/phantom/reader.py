"""A reader of the invented pictures: knows roughly where to look, finds the edge on the noisy picture, and clicks.

Edges are looked for in the picture itself, at half height between the two tissues, so that noise, blur, partial
volume and the place of the slices all take part; then the hand misses by the row's spread. This is how the
intervals of the measures are tested against the truth.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.optimize import brentq

from cuffwright.case.errors import ImageError
from cuffwright.imaging.calibration import Point
from cuffwright.imaging.phantom.body import CARTILAGE, CARTILAGE_MM, FLUID, MUSCLE, TENDON, Floats, InventedBody
from cuffwright.imaging.phantom.sections import SIGNAL
from cuffwright.imaging.slice_plane import SlicePlane

Curve = Callable[[float], tuple[float, float, float]]
"""A way on the chart: one number to (u, v, z)."""

LOOK_MM = 5.0
"""Numerical choice: how far to either side of the expected place an edge is looked for, mm."""

STEPS = 101
"""Numerical choice: samples along the way on which an edge is looked for."""


@dataclass(frozen=True, eq=False)
class Reader:
    """Reads one slice: its picture (rows x columns), its place, the body drawn on it; clicks miss by ``hand_px``."""

    body: InventedBody
    plane: SlicePlane
    values: NDArray[np.number]
    rng: np.random.Generator
    hand_px: float

    def pixel(self, body: Floats) -> Floats:
        """Column and row (..., 2) of points in the body's axes, dropped square onto the slice."""
        away = self.body.to_patient(body) - np.array(self.plane.position)
        return np.stack(
            [
                away @ np.array(self.plane.along_row) / self.plane.col_mm,
                away @ np.array(self.plane.along_column) / self.plane.row_mm,
            ],
            axis=-1,
        )

    def off_plane(self, body: Floats) -> Floats:
        """Distance (mm, signed) of points from the slice."""
        away = self.body.to_patient(body) - np.array(self.plane.position)
        return np.asarray(away @ np.array(self.plane.normal))

    def click(self, pixel: Floats) -> Point:
        """The pixel with the miss of a hand."""
        x, y = (pixel + self.rng.normal(0, self.hand_px, 2)).tolist()
        return x, y

    def width_marks(self) -> Mapping[str, list[Point]]:
        """Front and back of the tear where this slice cuts its lateral edge.

        Raises
        ------
        ImageError
            When this slice does not cut both ends of the tear.
        """
        tear = self.body.tear
        front = self._along_u(tear.front, FLUID)
        back = self._along_u(tear.back, FLUID)
        return {"front": [self.click(front)], "back": [self.click(back)]}

    def retraction_marks(self) -> Mapping[str, list[Point]]:
        """Lateral edge of the footprint and the tendon's end on this slice.

        Raises
        ------
        ImageError
            When this slice does not cut the tear.
        """
        chart, tear = self.body.shoulder.chart, self.body.tear
        u = self._u_at(lambda u: (u, chart.edge(u), tear.thickness / 2))
        v_edge = self._crossing(lambda v: (u, v, tear.thickness / 2), chart.edge(u), FLUID, MUSCLE)
        deep = float(tear.far(np.array(u)))
        if not deep:
            raise ImageError("this slice does not cut the tear; choose one that does")
        foot = chart.to_humerus(u, v_edge, 0.0)
        guess = chart.edge(u) - deep
        u2 = self._u_at(lambda u: (u, guess, self._middle(guess)))
        v_stump = self._crossing(lambda v: (u2, v, self._middle(v)), guess, TENDON, FLUID)
        stump = chart.to_humerus(u2, v_stump, self._middle(v_stump))
        return {"edge": [self.click(self.pixel(foot))], "stump": [self.click(self.pixel(stump))]}

    def thickness_marks(self) -> Mapping[str, list[Point]]:
        """Both sides of the tendon, square across it, halfway over the cartilage.

        Raises
        ------
        ImageError
            When this slice does not cut it there.
        """
        chart, tear = self.body.shoulder.chart, self.body.tear
        v = self.body.tendon_medial * 0.75
        u = self._u_at(lambda u: (u, v, self._middle(v)))
        low = self._crossing(lambda z: (u, v, z), CARTILAGE_MM, CARTILAGE, TENDON, 2.0)
        high = self._crossing(lambda z: (u, v, z), CARTILAGE_MM + tear.thickness, TENDON, MUSCLE, 2.0)
        sides = {"joint": low, "bursa": high}
        return {name: [self.click(self.pixel(chart.to_humerus(u, v, z)))] for name, z in sides.items()}

    def head_marks(self) -> list[Point]:
        """Rough marks on the round edge of the head: where to look, not what to find."""
        row = self.body.from_patient(np.array(self.plane.position) + np.array(self.plane.along_row))
        medial = row - self.body.from_patient(np.array(self.plane.position))
        up = np.array([0.0, 1.0, 0.0])
        inward = medial * np.sign(medial @ self.body.humerus.head_axis)
        angles = np.radians([-20.0, 15.0, 45.0, 75.0, 100.0])
        radius = self.body.humerus.head_radius
        ring = radius * (np.cos(angles)[:, None] * inward + np.sin(angles)[:, None] * up)
        return [self.click(pixel) for pixel in self.pixel(ring)]

    def _middle(self, v: float) -> float:
        return float(self.body.base(np.array(v))) + self.body.tear.thickness / 2

    def _place(self, at: tuple[float, float, float]) -> Floats:
        return np.asarray(self.body.shoulder.chart.to_humerus(*at))

    def _u_at(self, curve: Curve) -> float:
        """The u at which a curve on the chart pierces this slice."""
        low, high = 0.0, self.body.shoulder.chart.length

        def off(u: float) -> float:
            return float(self.off_plane(self._place(curve(u))))

        if off(low) * off(high) > 0:
            raise ImageError("this slice does not cut the footprint there; choose another")
        return float(brentq(off, low, high))

    def _v_in_plane(self, u: float, medial: float, lateral: float) -> float:
        def off(v: float) -> float:
            return float(self.off_plane(self._place((u, v, self.body.tear.thickness / 2))))

        if off(medial) * off(lateral) > 0:
            raise ImageError("this slice does not cut that edge of the tear; choose another")
        return float(brentq(off, medial, lateral))

    def _along_u(self, end: float, inner: int) -> Floats:
        """The end of the tear in this slice: the edge between fluid and tendon along the tendon."""
        chart, tear = self.body.shoulder.chart, self.body.tear
        self._v_in_plane(end, chart.edge(end) - tear.retraction, chart.edge(end))
        points = []
        for u in np.linspace(end - LOOK_MM, end + LOOK_MM, STEPS).tolist():
            try:
                v = self._v_in_plane(u, chart.edge(u) - tear.retraction - LOOK_MM, chart.edge(u) + LOOK_MM)
            except ImageError:
                continue
            points.append(self._place((u, v, tear.thickness / 2)))
        pixels = self.pixel(np.array(points))
        return self._edge(pixels, SIGNAL[inner], SIGNAL[TENDON])

    def _crossing(self, curve: Curve, guess: float, before: int, after: int, reach: float = LOOK_MM) -> float:
        """The parameter near ``guess`` at which the picture passes half height between two tissues."""
        along = guess + np.linspace(-reach, reach, STEPS)
        pixels = self.pixel(np.array([self._place(curve(a)) for a in along.tolist()]))
        where = self._half(pixels, SIGNAL[before], SIGNAL[after])
        return float(np.interp(where, np.arange(STEPS), along))

    def _edge(self, pixels: Floats, one: float, other: float) -> Floats:
        where = self._half(pixels, one, other)
        return np.array([np.interp(where, np.arange(len(pixels)), pixels[:, axis]) for axis in (0, 1)])

    def _half(self, pixels: Floats, one: float, other: float) -> float:
        """Where (index along the way) the picture passes half height, nearest to the middle.

        Raises
        ------
        ImageError
            When it passes nowhere.
        """
        seen = ndimage.map_coordinates(self.values.astype(float), [pixels[:, 1], pixels[:, 0]], order=1)
        over = seen - (one + other) / 2
        passes = np.flatnonzero(over[:-1] * over[1:] <= 0)
        if not len(passes):
            raise ImageError("no edge is seen there; choose another slice")
        shares = passes + over[passes] / np.where(over[passes] == over[passes + 1], 1, over[passes] - over[passes + 1])
        return float(shares[np.argmin(np.abs(shares - (len(pixels) - 1) / 2))])
