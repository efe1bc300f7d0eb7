"""The proximal humerus as thirteen measures, and the axes they stand in.

Humerus frame of the canonical RIGHT shoulder, right-handed, mm: origin at the head centre; X forward, Y up the
shaft, Z lateral, Z parallel to the line through the epicondyles. The head axis leans ``180 - neck-shaft angle``
from Y towards medial and is turned back by the retroversion. The head plane holds Y and the head axis; every
published azimuth is read from it. A left shoulder is this one with Z negated.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.footprint import FootprintSize
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Facet:
    """A facet of the greater tuberosity: azimuth of its centre about the head centre (0 ahead, 90 lateral, in the
    head plane) and inclination of its plane to the axial plane, both in degrees.
    """

    name: str
    azimuth_degrees: float
    inclination_degrees: float


@dataclass(frozen=True)
class HumerusShape:
    """The measures of one proximal humerus; lengths in mm, angles in degrees.

    ``medial_offset`` and ``posterior_offset`` tell how far the head centre lies medial to and behind the shaft
    axis, in the head plane and across it. ``beyond_sphere`` and ``tuberosity_degrees`` place the tuberosity's outer
    edge in the head plane. ``front_margin_degrees`` and ``groove_degrees`` lie in front of the head plane, about the
    shaft axis.

    Raises
    ------
    CaseError
        At birth, when a radius, arc or angle is outside what a bone can be.
    """

    head_radius: float
    neck_shaft_degrees: float
    retroversion_degrees: float
    medial_offset: float
    posterior_offset: float
    half_arc_degrees: float
    beyond_sphere: float
    tuberosity_degrees: float
    front_margin_degrees: float
    groove_degrees: float
    facets: tuple[Facet, Facet, Facet]
    footprint: FootprintSize
    wall_height: float
    corner_radius: float

    def __post_init__(self) -> None:
        lengths = (self.head_radius, self.wall_height, self.corner_radius)
        if not all(np.isfinite(x) and x > 0 for x in lengths):
            raise CaseError("head radius, wall height and corner radius must be above 0 mm; measure the head again")
        right = float(np.degrees(np.pi / 2))
        for name, value, low, high in (
            ("neck-shaft angle", self.neck_shaft_degrees, right, 2 * right),
            ("articular half-arc", self.half_arc_degrees, 0, right),
            ("greater tuberosity angle", self.tuberosity_degrees, 0, right),
            ("retroversion", self.retroversion_degrees, -right, right),
        ):
            if not low < value < high:
                raise CaseError(f"{name} {value} degrees is outside {low:.0f} to {high:.0f}; measure it again")
        if not (np.isfinite(self.beyond_sphere) and self.beyond_sphere >= 0):
            raise CaseError(f"the tuberosity cannot stand {self.beyond_sphere} mm beyond the head; measure it again")
        outer, margin = self.outer_edge, self.margin_in_head_plane
        if not (outer[0] > margin[0] and outer[1] > margin[1]):
            raise CaseError(
                "the tuberosity's outer edge falls inside the cartilage; check tuberosity and neck-shaft angle"
            )

    @classmethod
    def from_facts(cls, book: Citing, head_radius: float | None = None) -> "HumerusShape":
        """The mean humerus, or one of the given head radius (mm): lengths scale with it, angles do not.

        Raises
        ------
        EvidenceError
            When a row is missing.
        CaseError
            When the radius is not a positive number.
        """
        mean = book.number("humerus.head.radius")
        radius = mean if head_radius is None else head_radius
        if not np.isfinite(radius) or radius <= 0:
            raise CaseError(f"the head radius must be above 0 mm, not {radius}; measure it again")
        size = radius / mean
        facets = [
            Facet(name, book.number(f"facet.{name}.azimuth"), book.number(f"facet.{name}.inclination"))
            for name in ("superior", "middle", "inferior")
        ]
        return cls(
            head_radius=radius,
            neck_shaft_degrees=book.number("humerus.neck_shaft_angle"),
            retroversion_degrees=book.number("humerus.retroversion"),
            medial_offset=book.number("humerus.offset.medial") * size,
            posterior_offset=book.number("humerus.offset.posterior") * size,
            half_arc_degrees=book.number("humerus.articular.half_arc"),
            beyond_sphere=book.number("tuberosity.beyond_sphere") * size,
            tuberosity_degrees=book.number("tuberosity.angle"),
            front_margin_degrees=book.number("tuberosity.front_margin"),
            groove_degrees=book.number("groove.azimuth"),
            facets=(facets[0], facets[1], facets[2]),
            footprint=FootprintSize.from_facts(book, size),
            wall_height=book.number("wall.height") * size,
            corner_radius=book.number("tuberosity.corner.radius") * size,
        )

    def with_footprint(self, footprint: FootprintSize) -> "HumerusShape":
        """The same bone with another footprint."""
        return replace(self, footprint=footprint)

    @property
    def half_arc(self) -> float:
        """Articular half-arc in radians."""
        return float(np.radians(self.half_arc_degrees))

    @property
    def lean(self) -> float:
        """Angle of the head axis to the upward shaft axis, in radians."""
        return float(np.pi - np.radians(self.neck_shaft_degrees))

    @cached_property
    def axes(self) -> tuple[Floats, Floats, Floats]:
        """Unit vectors, humerus frame: head axis, its perpendicular up and lateral in the head plane, backwards."""
        back = np.radians(self.retroversion_degrees)
        up = np.array([0.0, 1.0, 0.0])
        behind = np.array([-np.cos(back), 0.0, np.sin(back)])
        head = np.cos(self.lean) * up - np.sin(self.lean) * self.lateral
        return head, np.sin(self.lean) * up + np.cos(self.lean) * self.lateral, behind

    @property
    def lateral(self) -> Floats:
        """Unit vector of the head plane pointing laterally, across the shaft, humerus frame."""
        back = np.radians(self.retroversion_degrees)
        return np.array([np.sin(back), 0.0, np.cos(back)])

    @property
    def head_axis(self) -> Floats:
        """Unit vector from the head centre to the middle of the cartilage, humerus frame."""
        return self.axes[0]

    @property
    def shaft_point(self) -> Floats:
        """Where the shaft axis (parallel to Y) passes beside the head centre, humerus frame (mm)."""
        return np.asarray(self.medial_offset * self.lateral - self.posterior_offset * self.axes[2])

    @property
    def margin_radius(self) -> float:
        """Radius of the articular margin circle (mm)."""
        return float(self.head_radius * np.sin(self.half_arc))

    @property
    def cap_height(self) -> float:
        """Height of the cartilage cap over the plane of its margin (mm)."""
        return float(self.head_radius * (1 - np.cos(self.half_arc)))

    @property
    def insertion_radius(self) -> float:
        """Radius (mm) on which an AP chord seen on an image is taken to lie: head plus tuberosity."""
        return self.head_radius + self.beyond_sphere

    @property
    def margin_in_head_plane(self) -> tuple[float, float]:
        """The cartilage margin in the head plane: lateral of the head centre, below the head top (mm)."""
        tilt = self.half_arc - self.lean
        return float(self.head_radius * np.sin(tilt)), float(self.head_radius * (1 - np.cos(tilt)))

    @property
    def outer_edge(self) -> tuple[float, float]:
        """The tuberosity's outer edge in the head plane: lateral of the head centre, below the head top (mm).

        Solves lateral / below = tan(greater tuberosity angle) on the sphere of head radius plus tuberosity.
        """
        slope = np.tan(np.radians(self.tuberosity_degrees))
        square = 1 + slope**2
        excess = self.beyond_sphere * (2 * self.head_radius + self.beyond_sphere)
        below = (self.head_radius + np.sqrt(self.head_radius**2 + square * excess)) / square
        return float(slope * below), float(below)

    def azimuth_degrees(self, points: Floats) -> Floats:
        """Azimuth of humerus points (..., 3) about the head centre: 0 ahead, 90 lateral, in the head plane."""
        return np.asarray(np.degrees(np.arctan2(points @ self.lateral, -(points @ self.axes[2]))))
