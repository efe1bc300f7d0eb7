"""Anchor beds: how much bone lies behind the tip, and whether two beds meet."""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.sites import Site, Spots
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.solid import TINY, segment_distance
from cuffwright.case.reach import BedMeeting

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


DEEP = 60.0
"""Numerical choice: bone behind a tip is told up to this (mm); down the shaft there is more than anyone needs."""


def room_behind(humerus: HumerusShape, points: Floats, towards: Floats, beds: Floats) -> tuple[Floats, Bools]:
    """Bone (mm) beyond a bed's tip along its axis, and whether the axis comes out into the joint.

    ``points`` (t, 3) and ``towards`` (..., t, 3), the direction from site to portal, humerus frame; ``beds`` (t,)
    depths. The bone behind the tuberosity is taken as the head's ball and the upper shaft, a cylinder as wide as
    from its axis to the wall, up to the height of the head centre.
    """
    into = -towards
    through = _leave_ball(points, into, humerus.head_radius)
    down = _leave_shaft(humerus, points, into)
    out = np.maximum(through, down)
    exits = points + through[..., None] * into
    polar = exits @ humerus.head_axis / humerus.head_radius
    joint = (through >= down) & (polar >= np.cos(humerus.half_arc))
    return np.asarray(np.minimum(out - beds, DEEP)), np.asarray(joint)


def _leave_ball(points: Floats, into: Floats, radius: float) -> Floats:
    """Distance (mm) at which axes leave a ball about the origin; 0 where they miss it."""
    half = np.sum(points * into, axis=-1)
    square = half**2 - np.sum(points**2, axis=-1) + radius**2
    return np.asarray(np.where(square > 0, np.maximum(-half + np.sqrt(np.maximum(square, 0)), 0), 0))


def _leave_shaft(humerus: HumerusShape, points: Floats, into: Floats) -> Floats:
    """Distance (mm) at which axes leave the upper shaft; 0 where they miss it."""
    radius = humerus.outer_edge[0] - humerus.medial_offset
    level = points - humerus.shaft_point
    flat, way = level[..., [0, 2]], into[..., [0, 2]]
    speed = np.sum(way**2, axis=-1)
    safe = np.where(speed > TINY, speed, 1)
    half = np.sum(flat * way, axis=-1) / safe
    square = half**2 - (np.sum(flat**2, axis=-1) - radius**2) / safe
    root = np.sqrt(np.maximum(square, 0))
    steep = speed <= TINY
    enter = np.where(steep, 0, np.maximum(-half - root, 0))
    leave = np.where(steep, DEEP + DEEP, -half + root)
    rise, height = into[..., 1], points[..., 1]
    fast = np.where(np.abs(rise) > TINY, rise, 1)
    top = -height / fast
    enter = np.where((rise < -TINY) & (height > 0), np.maximum(enter, top), enter)
    leave = np.where((rise > TINY) & (height < 0), np.minimum(leave, top), leave)
    leave = np.where((rise >= -TINY) & (height >= 0), 0, leave)
    return np.asarray(np.where((square > 0) & (leave > enter), np.maximum(leave, 0), 0))


def bed_meetings(
    sites: tuple[Site, ...], spots: Spots, axes: dict[str, Floats], sleeve_wall: float, bridge: float
) -> tuple[BedMeeting, ...]:
    """Bone between every two anchor beds (mm), medial with lateral too; axes by anchor name, site to portal (3,).

    Mouths of bone tunnels are drilled to meet and are not held against each other.
    """
    beds = [(n, site) for n, site in enumerate(sites) if site.name in axes and site.bed > 0]
    found = []
    for (i, one), (j, other) in combinations(beds, 2):
        if one.tunnel and other.tunnel:
            continue
        ends = [(spots.points[n], spots.points[n] - site.bed * axes[site.name]) for n, site in ((i, one), (j, other))]
        apart = float(segment_distance(*ends[0], *ends[1]))
        left = apart - (one.diameter + other.diameter) / 2 + 2 * sleeve_wall
        found.append(BedMeeting(one.name, other.name, left, left >= bridge))
    return tuple(found)
