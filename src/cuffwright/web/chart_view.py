"""The chart of a prepared shoulder as the map draws it."""

from typing import Any

from cuffwright.anatomy.side import map_axes
from cuffwright.case.fact import Citing
from cuffwright.course.prepared import Prepared

STEP_MM = 1.0
"""Numerical choice: vertices of the terrain's lines lie no farther apart than this."""


def chart_view(prepared: Prepared) -> dict[str, Any]:
    """Terrain, edges, the strip of torn tendon, and the spacing rule, all in chart mm."""
    axes = map_axes(prepared.sheet.identity.side)
    strip = prepared.strip
    retraction = prepared.sheet.tear.retraction_mm
    return {
        "rightwards": axes.rightwards,
        "edges": {
            "left": "anterior" if axes.anterior == "left" else "posterior",
            "right": "anterior" if axes.anterior == "right" else "posterior",
            "top": "medial",
            "bottom": "lateral",
        },
        "terrain": [
            {"name": one.name, "kind": one.kind, "points": [[round(x, 2) for x in p] for p in one.points.tolist()]}
            for one in prepared.chart.terrain(STEP_MM)
        ],
        "groove": round(prepared.chart.groove, 2),
        "back": round(prepared.chart.back, 2),
        "strip": {"front": strip.front, "width": strip.width, "edge": strip.edge, "thickness": strip.thickness},
        "retraction": retraction.value if retraction else None,
        "missing": [list(corner) for corner in prepared.sheet.tear.missing_tissue],
        "spacing": Citing(prepared.book).number("rule.anchor.spacing"),
    }
