"""Contact of the reduced tendon on the torn footprint, as tied and under the stated load."""

from collections.abc import Mapping

import numpy as np

from cuffwright.case.hold import Contact, PressureMap
from cuffwright.case.layout import Layout
from cuffwright.course.prepared import Prepared
from cuffwright.course.rounding import newtons, part, rounded
from cuffwright.mechanics.pressure.contact import ContactMap, contact_map
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.footprint import Footprint
from cuffwright.mechanics.pressure.stitches import EdgeExit, spans_of

THRESHOLDS = (0.01, 0.05, 0.1, 0.15, 0.18, 0.2, 0.25, 0.3, 0.4, 0.5)
"""Numerical choice: pressures (MPa) at which the area curve is printed; the threshold in force is a fact."""


def press(prepared: Prepared, layout: Layout, tension: Mapping[str, float]) -> ContactMap:
    """The contact map with these stitch tensions (N, by stitch name).

    Raises
    ------
    OutsideValidity
        When a limb sinks too deep into the tendon.
    """
    strip = layout.on(prepared.strip)
    window = Footprint.on_chart((strip.front, strip.front + strip.width), (0, strip.edge), strip)
    spans = spans_of(layout, strip, tension, _exits(prepared, layout), prepared.contact)
    grid = Grid.over(strip.width, strip.edge)
    return contact_map(
        spans, grid, prepared.layer, window, prepared.contact, prepared.shelf, compiled=not prepared.plain
    )


def contact_of(found: ContactMap) -> Contact:
    """The map's numbers, rounded."""
    return Contact(
        force=newtons(found.force),
        mean=rounded(found.mean, "MPa"),
        peak=rounded(found.peak, "MPa"),
        thresholds=THRESHOLDS,
        area_shares=tuple(part(found.share_above(over)) for over in THRESHOLDS),
        threshold=found.threshold,
        area_share=part(found.share_above()),
        window_area=rounded(found.window.area, "mm2"),
        lifted_share=part(found.lifted_share),
        clipped_share=part(found.clipped_share),
    )


def picture(front: float, found: ContactMap) -> PressureMap:
    """The map on the chart, rows of v over u, rounded; ``front`` (mm) is the chart u of the strip it was made on."""
    places = [rounded(u, "mm") for u in found.u + front], [rounded(v, "mm") for v in found.v]
    rows = np.round(found.pressure.T, 3).tolist()
    return PressureMap(tuple(places[0]), tuple(places[1]), tuple(tuple(row) for row in rows))


def _exits(prepared: Prepared, layout: Layout) -> dict[str, EdgeExit]:
    """How each bridging limb leaves the tendon edge, from the real surface at its lateral anchor."""
    chart, edge = prepared.chart, layout.on(prepared.strip).edge
    exits = {}
    for stitch in layout.stitches:
        if stitch.to is None:
            continue
        end = layout.anchor(stitch.to)
        run = chart.wall_run(end.u, max(0.0, end.v - prepared.bed.edge(end.u)))
        bend = max(0.0, float(np.mean(chart.curvature(end.u, np.linspace(0, edge, 3)))))
        degrees = run.exit_degrees - (run.edge_turn_degrees if bend else 0.0)
        exits[stitch.name] = EdgeExit(float(np.clip(degrees, 0.0, np.degrees(np.pi / 2))), bend)
    return exits


def wall_degrees(prepared: Prepared, layout: Layout) -> float | None:
    """Mean fall of the wall below the footprint plane on the way to the lateral anchors; None without any there."""
    chart = prepared.chart
    beyond = [a for a in layout.anchors if a.v > prepared.strip.edge]
    falls = [chart.exit_angle_degrees(a.u, max(0.0, a.v - prepared.bed.edge(a.u))) for a in beyond]
    return float(np.mean(falls)) if falls else None
