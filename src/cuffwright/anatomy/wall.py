"""From the lateral edge of the footprint over the corner to the lateral wall, as the mechanics wants it."""

from dataclasses import dataclass

import numpy as np

from cuffwright.anatomy.profile import Profile
from cuffwright.case.errors import CaseError


@dataclass(frozen=True)
class WallRun:
    """The way of a limb from the footprint's edge to a place on the wall, in one cut.

    ``edge`` and ``place`` are v on the bone (mm), ``path`` the arc between them (mm). ``exit_degrees`` is the angle
    of the straight line between them below the footprint plane, which is the chord from margin to edge;
    ``edge_turn_degrees`` is how much of it the bone has turned already at the edge: subtract it where the
    footprint's curvature is reckoned apart.
    """

    edge: float
    place: float
    exit_degrees: float
    edge_turn_degrees: float

    @classmethod
    def over(cls, cut: Profile, edge: float, drop: float, bottom: float) -> "WallRun":
        """The way in ``cut`` to a place ``drop`` mm of bone beyond the edge, on a wall that ends at v ``bottom``.

        Raises
        ------
        CaseError
            When ``drop`` is not above 0 or leads past the bottom.
        """
        place = edge + drop
        if not edge < place <= bottom:
            room = f"0 to {bottom - edge:.0f}"
            raise CaseError(f"{drop} mm below the footprint's edge is off the lateral wall ({room}); move the anchor")
        v = np.array([0.0, edge, place])
        x, r = cut.place(v, np.zeros_like(v))
        plane = np.arctan2(r[1] - r[0], x[1] - x[0])
        way = np.arctan2(r[2] - r[1], x[2] - x[1])
        turned = plane - cut.tangent(v)[1]
        return cls(edge, place, float(np.degrees(plane - way)), float(np.degrees(turned)))

    @property
    def path(self) -> float:
        """Length of the way along the bone (mm)."""
        return self.place - self.edge

    @property
    def flattened(self) -> tuple[float, float]:
        """(v, z) in mm of the place when the wall is drawn straight from the edge, path and exit angle kept."""
        exit_angle = np.radians(self.exit_degrees)
        return float(self.edge + self.path * np.cos(exit_angle)), float(-self.path * np.sin(exit_angle))
