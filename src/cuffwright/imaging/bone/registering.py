"""The chart set onto a bone from CT, and by how much the bone it stands for misses the real one."""

from dataclasses import dataclass

import numpy as np

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side
from cuffwright.imaging.bone.humerus import HumerusFromCt
from cuffwright.imaging.bone.volume import Floats, vector
from cuffwright.imaging.outline.pose import Marked, Pose, pose_of

NEAR_MM = 10.0
"""Numerical choice: border farther than this from the chart belongs to another part of the bone."""

LEAST_POINTS = 30
"""Numerical choice: fewer points of the border over the footprint tell no miss."""


@dataclass(frozen=True, eq=False)
class Registered:
    """The chart on the bone: its place, and how far the real border lies over it on the footprint (mm).

    ``middle`` is the mean height of the border over the chart (below 0: the real bone is smaller there), ``spread`` its
    SD, ``widest`` the largest of either sign.
    """

    pose: Pose
    middle: float
    spread: float
    widest: float


def registered(bone: HumerusFromCt, shape: HumerusShape, side: Side, front: Floats, mark_sd_mm: float) -> Registered:
    """Set the chart onto the bone.

    Parameters
    ----------
    bone
        With its shaft's axis.
    shape
        The humerus of the chart, of the bone's head radius.
    side
        Of the shoulder.
    front
        (3,) patient point: front edge of the greater tuberosity at the footprint's lateral edge.
    mark_sd_mm
        How far a hand misses it.

    Raises
    ------
    ImageError
        When the scan gave no shaft, or the chart comes to lie beside the bone.
    """
    if bone.shaft is None:
        raise ImageError("the chart needs the shaft's axis, which this scan is too short to give; mark it on MR")
    point, up = bone.shaft
    far_down = point - up * 2 * shape.head_radius
    head = bone.head
    marked = Marked(vector(head.centre), vector(far_down), vector(front), head.centre_sd_mm, mark_sd_mm)
    pose = pose_of(shape, side, marked)
    chart = FootprintChart(shape)
    spots = chart.to_chart(pose.to_humerus(bone.surface.points))
    u, v, z = spots[np.isfinite(spots).all(axis=1)].T
    over = (u >= 0) & (u <= chart.length) & (np.abs(z) < NEAR_MM)
    over &= (v >= 0) & (v <= chart.edge(np.clip(u, 0, chart.length)))
    if over.sum() < LEAST_POINTS:
        if head.cut_mm > 0:
            raise ImageError(f"the scan ends {head.cut_mm:.1f} mm before the head does, so the footprint is not on it")
        raise ImageError("the chart comes to lie beside the bone; check side, head and front of the tuberosity")
    heights = z[over]
    widest = float(heights[np.abs(heights).argmax()])
    return Registered(pose, float(heights.mean()), float(heights.std()), widest)
