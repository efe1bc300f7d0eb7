"""Contact of the reduced tendon on the torn footprint, as tied and under the stated load."""

from collections.abc import Callable, Mapping
from functools import lru_cache

import numpy as np

from cuffwright.case.contact import Contact, PressureMap
from cuffwright.case.layout import Anchor, Layout
from cuffwright.course.prepared import Bed, Prepared
from cuffwright.course.rounding import newtons, part, rounded
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.pressure.contact import ContactMap, contact_map
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.footprint import Footprint
from cuffwright.mechanics.pressure.span import Span
from cuffwright.mechanics.pressure.stitches import EdgeExit, spans_of

THRESHOLDS = (0.01, 0.05, 0.1, 0.15, 0.18, 0.2, 0.25, 0.3, 0.4, 0.5)
"""Numerical choice: pressures (MPa) at which the area curve is printed; the threshold in force is a fact."""

KEPT = 64
"""Numerical choice: sets of anchor places whose way over the wall stays in memory."""


def press(
    prepared: Prepared, layout: Layout, tension: Mapping[str, float], wrap: Callable[[Grid], Floats] | None = None
) -> ContactMap:
    """The contact map with these stitch tensions (N, by stitch name), and ``wrap`` (MPa, cells) of a pulled tendon.

    Raises
    ------
    OutsideValidity
        When a limb sinks too deep into the tendon.
    """
    strip = layout.on(prepared.strip)
    window = Footprint.on_chart((strip.front, strip.front + strip.width), (0, strip.edge), strip)
    ropes = spans(prepared, layout, tension)
    grid = Grid.over(strip.width, strip.edge)
    return contact_map(
        ropes,
        grid,
        prepared.layer,
        window,
        prepared.contact,
        prepared.shelf,
        compiled=not prepared.plain,
        wrap=None if wrap is None else wrap(grid),
    )


def spans(prepared: Prepared, layout: Layout, tension: Mapping[str, float]) -> tuple[Span, ...]:
    """The stretches of rope on top of the tendon with these stitch tensions (N, by stitch name)."""
    return spans_of(layout, layout.on(prepared.strip), tension, _exits(prepared, layout), prepared.contact)


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
    edge = layout.on(prepared.strip).edge
    over = {anchor: leaves for anchor, _, leaves in _ways(prepared.bed, edge, layout.anchors)}
    return {stitch.name: over[stitch.to] for stitch in layout.stitches if stitch.to in over}


def wall_degrees(prepared: Prepared, layout: Layout) -> float | None:
    """Mean fall of the wall below the footprint plane on the way to the lateral anchors; None without any there."""
    falls = [fall for _, fall, _ in _ways(prepared.bed, layout.on(prepared.strip).edge, layout.anchors)]
    return float(np.mean(falls)) if falls else None


@lru_cache(maxsize=KEPT)
def _ways(bed: Bed, edge: float, anchors: tuple[Anchor, ...]) -> tuple[tuple[str, float, EdgeExit], ...]:
    """For each anchor beyond the tendon edge: its name, the fall of the way to it (degrees), how a limb leaves."""
    ways = []
    for end in anchors:
        if end.v <= edge:
            continue
        run = bed.chart.wall_run(end.u, max(0.0, end.v - bed.edge(end.u)))
        bend = max(0.0, float(np.mean(bed.chart.curvature(end.u, np.linspace(0, edge, 3)))))
        degrees = run.exit_degrees - (run.edge_turn_degrees if bend else 0.0)
        leaves = EdgeExit(float(np.clip(degrees, 0.0, np.degrees(np.pi / 2))), bend)
        ways.append((end.name, run.exit_degrees, leaves))
    return tuple(ways)
