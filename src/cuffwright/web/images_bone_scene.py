"""A humerus from CT as the page draws it in three dimensions: surface, sphere, axis, and the footprint of the chart."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.imaging.bone.humerus import HumerusFromCt
from cuffwright.imaging.bone.registering import Registered
from cuffwright.imaging.bone.thinning import thinned
from cuffwright.web.images_bone import BoneSeen

CUBE_MM = 1.2
"""Numerical choice: the drawn surface has one point for a cube of this size; finer is not seen."""

GRID = (25, 9)
"""Numerical choice: points of the drawn footprint along it and across it."""

BEYOND = 1.3
"""Numerical choice: the drawn axis runs this many radii above the head's centre."""

LIFTED_MM = 1.0
"""Numerical choice: how far the footprint lies above the chart's bone, so that it is seen on the real one."""

Floats = NDArray[np.float64]


def bone_scene(found: BoneSeen) -> dict[str, Any]:
    """Points are patient mm (left, behind, up) from the head's centre; lists are flat, triangles counted outside round.

    ``seen`` are the ends of the rays that agree with the sphere, ``axis`` two points on the shaft's axis,
    ``footprint`` the chart's footprint as a surface, row by row from the front; None where the scan gives none.
    """
    bone = found.bone
    mesh, centre = thinned(bone.surface, CUBE_MM), bone.head.centre
    return {
        "bone": {"points": _flat(mesh.points - centre), "triangles": mesh.triangles.ravel().tolist()},
        "radius": round(bone.head.radius, 2),
        "centre_sd": np.round(bone.head.centre_sd, 2).tolist(),
        "seen": _flat(bone.head.ends - centre),
        "axis": _flat(_axis(bone, *bone.shaft) - centre) if bone.shaft else None,
        "footprint": _footprint(found.chart, centre) if found.chart else None,
        "side": found.side,
    }


def _axis(bone: HumerusFromCt, point: Floats, up: Floats) -> Floats:
    """The shaft's axis from the lowest bone in the scan to above the head."""
    along = (bone.surface.points - point) @ up
    top = (bone.head.centre - point) @ up + BEYOND * bone.head.radius
    return np.asarray(point + np.array([[along.min()], [top]]) * up)


def _footprint(chart: Registered, centre: Floats) -> dict[str, Any]:
    on = FootprintChart(chart.pose.shape)
    u = np.linspace(0, on.length, GRID[0])
    gap, edge = on.gap(u), on.edge(u)
    v = gap[:, None] + np.linspace(0, 1, GRID[1]) * (edge - gap)[:, None]
    points = chart.pose.to_patient(on.to_humerus(u[:, None], v, LIFTED_MM))
    return {"points": _flat(points - centre), "along": GRID[0], "across": GRID[1]}


def _flat(points: Floats) -> list[float]:
    return [float(x) for x in (np.round(points, 1) + 0.0).ravel()]
