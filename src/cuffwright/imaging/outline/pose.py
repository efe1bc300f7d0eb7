"""How the humerus lies in the patient: head centre, shaft, and the front of the tuberosity.

The elbow is not on images of the shoulder, so the retroversion cannot be used: the turn about the shaft comes from the
front of the greater tuberosity, beside the groove of the biceps, which the chart counts from.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.side import from_canonical, to_canonical
from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side

Floats = NDArray[np.float64]

LEAST_LEAN = 0.2
"""Numerical choice: sine of the angle to the shaft below which a front mark gives no turn about it."""


@dataclass(frozen=True)
class Marked:
    """What is marked to set the humerus into the patient, points in patient mm (left, posterior, head), and their SDs.

    ``head`` is the centre of the head, ``shaft`` a point on the shaft's axis as far down as it is seen, ``front`` the
    front edge of the greater tuberosity at the footprint's lateral edge.
    """

    head: tuple[float, float, float]
    shaft: tuple[float, float, float]
    front: tuple[float, float, float]
    head_sd_mm: float
    point_sd_mm: float


@dataclass(frozen=True, eq=False)
class Pose:
    """A humerus in the patient: ``axes`` (3, 3) are its X, Y, Z in canonical patient axes, as rows."""

    shape: HumerusShape
    side: Side
    centre: Floats
    axes: Floats

    def to_humerus(self, points: Floats) -> Floats:
        """Humerus points (..., 3) of patient points (..., 3), both in mm."""
        return np.asarray((to_canonical(points, self.side, "patient") - self.centre) @ self.axes.T)

    def to_patient(self, points: Floats) -> Floats:
        """Patient points (..., 3) of humerus points (..., 3), both in mm: the inverse of :meth:`to_humerus`."""
        return np.asarray(from_canonical(points @ self.axes + self.centre, self.side, "patient"))


def pose_of(shape: HumerusShape, side: Side, marked: Marked) -> Pose:
    """Set a humerus of known size into the patient.

    Parameters
    ----------
    shape
        The humerus, brought to the measured head radius.
    side
        Of the shoulder.
    marked
        Head centre, shaft and front of the tuberosity.

    Raises
    ------
    ImageError
        When the marks lie on one line or on one place.
    """
    head, shaft, front = (to_canonical(np.array(p), side, "patient") for p in (marked.head, marked.shaft, marked.front))
    chart = FootprintChart(shape)
    model = chart.to_humerus(0.0, chart.edge(0.0))
    # the shaft's axis runs beside the head centre, so the way from one to the other is tilted by the offset
    up = _upwards(head, shaft, front, shape, model)
    wanted, seen = _across(model, np.array([0.0, 1.0, 0.0])), _across(front - head, up)
    third, seen_third = np.cross(wanted, [0.0, 1.0, 0.0]), np.cross(seen, up)
    turn = np.outer(wanted, seen) + np.outer([0.0, 1.0, 0.0], up) + np.outer(third, seen_third)
    return Pose(shape, side, head, turn)


def _upwards(head: Floats, shaft: Floats, front: Floats, shape: HumerusShape, model: Floats) -> Floats:
    """Unit vector up the shaft: the one whose axis, offset from the head centre as in the model, meets the mark."""
    way = head - shaft
    long = float(np.linalg.norm(way))
    if long < shape.head_radius:
        raise ImageError("the mark on the shaft lies too near to the head; mark it farther down")
    up = way / long
    y = np.array([0.0, 1.0, 0.0])
    for _ in range(3):
        seen, wanted = _across(front - head, up), _across(model, y)
        third, seen_third = np.cross(wanted, y), np.cross(seen, up)
        offset = (shape.shaft_point @ wanted) * seen + (shape.shaft_point @ third) * seen_third
        on_axis = head + offset - shaft
        up = on_axis / np.linalg.norm(on_axis)
    return np.asarray(up)


def _across(vector: Floats, up: Floats) -> Floats:
    flat = vector - (vector @ up) * up
    long = float(np.linalg.norm(flat))
    if long < LEAST_LEAN * float(np.linalg.norm(vector)):
        raise ImageError("the front of the tuberosity lies on the shaft's axis; mark it again")
    return np.asarray(flat / long)
