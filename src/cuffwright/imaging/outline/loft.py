"""The ends of the tear on consecutive slices as one outline on the chart, with the band in which it may lie.

On each oblique sagittal slice two ends are marked: where the tendon stops in front and where it begins again behind.
Carried onto the chart they form two chains, which are joined over the slices; medial of the innermost slice that
still shows the tear the outline closes half a step further in. The band comes from moving every mark, the pose and
the open step many times at random.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side
from cuffwright.case.measurement import Measurement
from cuffwright.imaging.outline.pose import Marked, Pose, pose_of
from cuffwright.imaging.slice_plane import Vector

Floats = NDArray[np.float64]

DRAWS = 200
"""Numerical choice: how often marks and pose are moved to find the band."""

RUNGS = 25
"""Numerical choice: heights v at which the outline is drawn."""

LEAST_SLICES = 2
"""Numerical choice: slices that show either end of the tear, of which an outline can be made."""

LEAST_RISE_MM = 0.5
"""Numerical choice: two slices nearer to each other than this on the chart give no slope."""

PLACES = 2
"""Numerical choice: decimals of a mm kept."""


@dataclass(frozen=True)
class Ends:
    """The tear on one slice: where tendon stops in front and begins again behind, in patient mm.

    An end is left out where the slice leaves the footprint before it meets tendon again.
    """

    front: Vector | None
    back: Vector | None


@dataclass(frozen=True, eq=False)
class TearOnChart:
    """The patient's tear on the chart: outline (n, 2) in (u, v), closed by its first point, and its band.

    ``sd_u`` (n,) and ``sd_v`` are the spread of each corner in mm. ``width``, ``front`` and ``retraction`` are those
    of the outline, in mm of the chart (arcs on the bone), for the fields of the case of these names.
    """

    outline: Floats
    sd_u: Floats
    sd_v: Floats
    width: Measurement
    front: Measurement
    retraction: Measurement
    cannot_know: tuple[str, ...]


def loft(
    shape: HumerusShape,
    side: Side,
    marked: Marked,
    slices: Sequence[Ends],
    step_mm: float,
    rng: np.random.Generator,
    trace: str = "",
) -> TearOnChart:
    """Carry the ends of a tear on consecutive slices onto the chart.

    Parameters
    ----------
    shape, side, marked
        The humerus, brought to the measured head radius, and its place in the patient.
    slices
        Ends on every slice that shows the tear, in any order.
    step_mm
        Distance between slices, from their places.
    rng
        Moves the marks to find the band.
    trace
        Which images the marks stand on.

    Raises
    ------
    ImageError
        When fewer than two slices show the tear, the ends do not lie over the bone's chart, or front and back are
        exchanged.
    """
    ends = [
        np.array([p for p in found if p is not None])
        for found in zip(*((s.front, s.back) for s in slices), strict=True)
    ]
    if len(ends) < 2 or min(map(len, ends)) < LEAST_SLICES:
        raise ImageError("an outline needs either end of the tear on two slices or more; mark another")
    middle = _outline(pose_of(shape, side, marked), ends, step_mm / 2)
    if middle[1][0] <= 0:
        raise ImageError("the front of the tear comes to lie behind its back; check which end and which side is which")
    drawn = _draws(shape, side, marked, ends, step_mm, rng)
    spread = np.stack([one[0] for one in drawn]).std(axis=0)
    values = np.array([one[1] for one in drawn]).std(axis=0)
    width, front, retraction = (
        Measurement(round(max(float(v), 0.0), PLACES), round(float(s), PLACES), "image", f"outline of slices {trace}")
        for v, s in zip(middle[1], values, strict=True)
    )
    return TearOnChart(
        middle[0],
        spread[:, 0],
        spread[:, 1],
        width,
        front,
        retraction,
        (
            "the shape of this patient's tuberosity: the chart is the published one, brought to the head's size",
            "the tear between two slices: it is joined straight",
        ),
    )


def _draws(
    shape: HumerusShape, side: Side, marked: Marked, ends: list[Floats], step_mm: float, rng: np.random.Generator
) -> list[tuple[Floats, tuple[float, float, float]]]:
    found = []
    for _ in range(DRAWS):
        moved = replace(
            marked,
            head=_moved(marked.head, marked.head_sd_mm, rng),
            shaft=_moved(marked.shaft, marked.point_sd_mm, rng),
            front=_moved(marked.front, marked.point_sd_mm, rng),
        )
        jittered = [one + rng.normal(0, marked.point_sd_mm, one.shape) for one in ends]
        try:
            found.append(_outline(pose_of(shape, side, moved), jittered, rng.uniform(0, step_mm)))
        except ImageError:
            continue
    if len(found) < DRAWS / 2:
        raise ImageError("the marks are too uncertain for an outline; mark the ends and the bone again")
    return found


def _moved(point: Vector, sd: float, rng: np.random.Generator) -> Vector:
    x, y, z = (np.array(point) + rng.normal(0, sd, 3)).tolist()
    return x, y, z


def _outline(pose: Pose, ends: list[Floats], beyond: float) -> tuple[Floats, tuple[float, float, float]]:
    """Outline (2 RUNGS, 2) in (u, v), and width, front and retraction, of front and back ends (n, 3) in patient mm."""
    chart = FootprintChart(pose.shape)
    sides = [chart.to_chart(pose.to_humerus(one))[:, :2] for one in ends]
    if not all(np.isfinite(spots).all() for spots in sides):
        raise ImageError("an end of the tear does not lie over the bone; check head, shaft and front marks")
    sides = [spots[np.argsort(spots[:, 1])] for spots in sides]
    medial = min(float(spots[0, 1]) for spots in sides) - beyond
    middle = float(np.mean([spots[0, 0] for spots in sides]))
    lateral = float(np.mean([chart.edge(float(spots[-1, 0])) for spots in sides]))
    chains = [_chain(spots, medial, middle, lateral) for spots in sides]
    outline = np.concatenate([chains[0], chains[1][::-1]])
    front, back = float(chains[0][-1, 0]), float(chains[1][-1, 0])
    return outline, (back - front, front, lateral - medial)


def _chain(spots: Floats, medial: float, middle: float, lateral: float) -> Floats:
    """One side of the outline from its innermost to the footprint's edge, at RUNGS even heights."""
    last = spots[-2:]
    rise = float(last[1, 1] - last[0, 1])
    slope = float(last[1, 0] - last[0, 0]) / rise if abs(rise) > LEAST_RISE_MM else 0.0
    reached = float(spots[-1, 0]) + slope * max(lateral - float(spots[-1, 1]), 0.0)
    v = np.concatenate([[medial], spots[:, 1], [max(lateral, float(spots[-1, 1]))]])
    u = np.concatenate([[(spots[0, 0] + middle) / 2], spots[:, 0], [reached]])
    order = np.argsort(v, kind="stable")
    heights = np.linspace(medial, lateral, RUNGS)
    return np.column_stack([np.interp(heights, v[order], u[order]), heights])
