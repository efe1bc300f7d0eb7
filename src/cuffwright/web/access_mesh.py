"""Surfaces of the bones as triangles, canonical right side: what the page draws of the shoulder it computes with."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.spatial import ConvexHull, HalfspaceIntersection

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.anatomy.solid import Block
from cuffwright.anatomy.turning import unit

Floats = NDArray[np.float64]
Places = NDArray[np.int_]

AROUND = 36
"""Numerical choice: corners round the head and the shaft."""

RINGS = 16
"""Numerical choice: rings from the pole of a cap to its rim."""

GRID = (25, 13)
"""Numerical choice: points along and across the tuberosity."""

LIFTED = 0.25
"""Numerical choice: how far (mm) the tint of the footprint lies above the bone, so that it is seen."""

SHAFT = (8.0, -32.0, -80.0, -125.0)
"""Numerical choice: heights (mm from the head centre) at which the drawn shaft has rings; only drawn, never struck."""

TAPER = (0.82, 1.0, 0.62, 0.58)
"""Numerical choice: width of the drawn shaft at those heights over its width at the tuberosity."""

BURIED = 0.55
"""Numerical choice: the drawn tuberosity is closed towards the shaft this share of the way in."""


@dataclass(frozen=True)
class Mesh:
    """Vertices (n, 3) in mm and triangles (m, 3), counted round as seen from outside."""

    vertices: Floats
    triangles: Places


def grid(points: Floats) -> Mesh:
    """The surface over a grid of points (i, j, 3)."""
    rows, columns = points.shape[:2]
    at = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = at[:-1, :-1], at[1:, :-1], at[1:, 1:], at[:-1, 1:]
    triangles = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    return Mesh(points.reshape(-1, 3), triangles)


def block(shape: Block) -> Mesh:
    """The surface of a convex block."""
    found = linprog(
        [0, 0, 0, -1], np.column_stack([shape.normals, np.ones(len(shape.offsets))]), shape.offsets, bounds=(None, None)
    )
    inside = np.asarray(found.x, dtype=np.float64)[:3]
    corners = HalfspaceIntersection(np.column_stack([shape.normals, -shape.offsets]), inside).intersections
    hull = ConvexHull(np.unique(corners.round(6), axis=0))
    triangles = hull.simplices.astype(int)
    first, second, third = (hull.points[triangles[:, n]] for n in range(3))
    turned = np.sum(np.cross(second - first, third - first) * hull.equations[:, :3], axis=1) < 0
    triangles[turned] = triangles[turned][:, ::-1]
    return Mesh(hull.points, triangles)


def humerus(shoulder: Shoulder) -> dict[str, Mesh]:
    """Cartilage, head, tuberosity, footprint and upper shaft, humerus frame."""
    bone = shoulder.humerus
    return {
        "cartilage": _cap(bone, 0.0, bone.half_arc),
        "head": _cap(bone, bone.half_arc, np.pi),
        "tuberosity": grid(_tuberosity(shoulder)),
        "footprint": grid(_footprint(shoulder)),
        "shaft": _shaft(bone),
    }


def _cap(bone: HumerusShape, first: float, last: float) -> Mesh:
    """The head's ball between two angles from its axis."""
    axis, side, back = bone.axes
    polar, turn = np.meshgrid(np.linspace(first, last, RINGS), np.linspace(0, 2 * np.pi, AROUND + 1), indexing="ij")
    flat = np.cos(turn)[..., None] * side + np.sin(turn)[..., None] * back
    return grid(bone.head_radius * (np.cos(polar)[..., None] * axis + np.sin(polar)[..., None] * flat))


def _tuberosity(shoulder: Shoulder) -> Floats:
    """Points over the chart from groove to back and from cartilage to the foot of the wall, its rim drawn inwards."""
    chart, bone = shoulder.chart, shoulder.humerus
    u = np.linspace(chart.groove, chart.back, GRID[0])
    share = np.linspace(0, 1, 2 * GRID[1])
    points = chart.to_humerus(u[:, None], share[None, :] * chart.wall_bottom(u)[:, None])
    axis = bone.shaft_point + points * np.array([0.0, 1.0, 0.0])

    def sunk(rim: Floats, core: Floats) -> Floats:
        return np.asarray(rim + BURIED * (core - rim))

    ends = [sunk(points[:1], axis[:1]), points, sunk(points[-1:], axis[-1:])]
    return np.concatenate(ends)


def _footprint(shoulder: Shoulder) -> Floats:
    chart = shoulder.chart
    u = np.linspace(0, chart.length, GRID[0])
    gap, edge = chart.gap(u), chart.edge(u)
    v = gap[:, None] + np.linspace(0, 1, GRID[1])[None, :] * (edge - gap)[:, None]
    return chart.to_humerus(u[:, None], v, LIFTED)


def _shaft(bone: HumerusShape) -> Mesh:
    wide = bone.outer_edge[0] - bone.medial_offset
    turn = np.linspace(0, 2 * np.pi, AROUND + 1)
    rings = [
        bone.shaft_point
        + np.column_stack([wide * slim * np.sin(turn), np.full_like(turn, high), wide * slim * np.cos(turn)])
        for high, slim in zip(SHAFT, TAPER, strict=True)
    ]
    top = np.repeat(rings[0].mean(axis=0)[None], len(turn), axis=0)
    return grid(np.array([top, *rings])[::-1])


def skin(shoulder: Shoulder) -> Mesh:
    """The skin over the deltoid from behind round to the front, as portals are placed on it; scapula frame."""
    columns = [_contour(shoulder, share, turned) for share, turned in ways()]
    return grid(np.array(columns))


FANNED = (10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0)
"""Numerical choice: turns (degrees) beyond the edge's corners at which the skin is drawn."""

ALONG = 11
"""Numerical choice: places along the edge at which skin and nerve are drawn."""

DEEPEST = 66.0
"""Numerical choice: the skin is drawn this far (mm) below the edge."""

DROPS = 15
"""Numerical choice: points of one contour of the skin."""


def ways() -> list[tuple[float, Floats]]:
    """Places along the lateral edge with their outward direction, from in front round to behind."""
    forward, _, lateral = np.eye(3)

    def turned(degrees: float, way: Floats) -> Floats:
        return np.asarray(np.cos(np.radians(degrees)) * lateral + np.sin(np.radians(degrees)) * way)

    front = [(0.0, turned(angle, forward)) for angle in reversed(FANNED)]
    edge = [(float(share), lateral) for share in np.linspace(0, 1, ALONG)]
    return [*front, *edge, *((1.0, turned(angle, -forward)) for angle in FANNED)]


def _contour(shoulder: Shoulder, share: float, outward: Floats) -> Floats:
    edge = shoulder.acromion.edge(share)
    return np.array([shoulder.envelope.below_edge(edge, outward, drop) for drop in np.linspace(0, DEEPEST, DROPS)])


def below(shoulder: Shoulder, share: float, outward: Floats, drop: float) -> Floats:
    """The deep face of the deltoid (3,) ``drop`` mm below a place of the edge: where the axillary nerve runs."""
    on_skin = shoulder.envelope.below_edge(shoulder.acromion.edge(share), outward, drop)
    thick = shoulder.measures.fat + shoulder.measures.deltoid
    return np.asarray(on_skin + thick * unit(shoulder.head - on_skin))
