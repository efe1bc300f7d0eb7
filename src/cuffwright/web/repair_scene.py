"""The repair in three dimensions: the bone, its chart as a lattice in space, and how deep anchors go."""

from typing import Any

import numpy as np

from cuffwright.anatomy.side import from_canonical
from cuffwright.case.fact import Citing
from cuffwright.course.editing import implants
from cuffwright.course.prepared import Prepared
from cuffwright.web.access_mesh import humerus
from cuffwright.web.access_scene import mesh_view

MEDIAL_MM = 24.0
"""Numerical choice: the lattice reaches this far medially over the cartilage."""

STEP_MM = 1.5
"""Numerical choice: distance of the lattice's points."""

FRONT_MM = 3.0
"""Numerical choice: the lattice begins this far in front of the footprint, behind the groove."""


def repair_scene(prepared: Prepared) -> dict[str, Any]:
    """What stays while anchors move, in the humerus frame on the case's own side.

    ``lattice`` holds points and outward normals of the bone's surface over ``u`` and ``v`` (mm), row by row of ``u``.
    """
    side, chart = prepared.sheet.identity.side, prepared.chart
    facts = Citing(prepared.book)
    strip = prepared.strip
    front = max(chart.groove, -FRONT_MM)
    back = min(chart.back, max(chart.length, strip.front + strip.width) + FRONT_MM)
    bottom = float(np.min(chart.wall_bottom(np.array([front, back]))))
    u = np.linspace(front, back, round((back - front) / STEP_MM) + 1)
    v = np.linspace(-MEDIAL_MM, bottom, round((bottom + MEDIAL_MM) / STEP_MM) + 1)
    points = from_canonical(chart.to_humerus(u[:, None], v[None, :]), side)
    outward = from_canonical(chart.normals(u[:, None], v[None, :]), side)
    return {
        "side": side,
        "bone": {name: mesh_view(mesh, side) for name, mesh in humerus(prepared.shoulder.mean).items()},
        "lattice": {
            "u": u.round(3).tolist(),
            "v": v.round(3).tolist(),
            "points": points.round(2).ravel().tolist(),
            "normals": outward.round(3).ravel().tolist(),
        },
        "anchors": {
            name: {part: facts.number(f"tool.anchor.{name}.{part}") for part in ("diameter", "bed")}
            for name in (*implants(), "bone-tunnel")
        },
    }
