"""The construct of a record as a drawing: what was done or is planned, and where an anchor was planned and is not."""

from dataclasses import dataclass
from math import hypot

from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.course.record import done_layout
from cuffwright.exchange.report.label_places import LabelPlaces
from cuffwright.exchange.report.map_frame import MapFrame, map_frame
from cuffwright.exchange.report.map_ground import (
    draw_graticule,
    draw_tear_outline,
    draw_tendon,
    draw_terrain,
    draw_zones,
)
from cuffwright.exchange.report.map_repair import draw_anchors, draw_holes, draw_limbs, limb_runs, name_limbs
from cuffwright.exchange.report.svg import INK, PAPER, Drawing
from cuffwright.theatre import Operation

BOX = (170.0, 92.0)
"""The room for the drawing on the page, mm."""

RING = 3.2
"""Radius of the ring where an anchor was planned, mm of paper."""

APART = 0.05
"""Anchors nearer than this to their plan (mm) are drawn without a ring."""


@dataclass(frozen=True)
class Construct:
    """What is drawn."""

    side: str
    layout: Layout
    strip: TendonStrip


def draw_construct(operation: Operation) -> tuple[str, float, bool] | None:
    """The drawing as SVG, its width in mm, and whether it shows what was done; None without a plan."""
    opening = operation.opening
    if opening is None or opening.layout is None or opening.strip is None:
        return None
    done = done_layout(operation)
    here = Construct(opening.side, done or opening.layout, opening.strip)
    terrain = dict(opening.terrain)
    frame = map_frame(here, terrain, BOX)
    sheet = Drawing(frame.width, frame.height)
    places = LabelPlaces(frame.box)
    left, top, right, bottom = frame.box
    sheet.clip("map", left, top, right - left, bottom - top)
    sheet.open_group(clip_path="url(#map)")
    draw_zones(sheet, frame, here)
    draw_tendon(sheet, frame, here)
    draw_graticule(sheet, frame)
    draw_terrain(sheet, frame, terrain)
    draw_tear_outline(sheet, frame, here)
    runs = limb_runs(frame, here.layout)
    draw_limbs(sheet, runs)
    draw_holes(sheet, frame, here, places)
    first = operation.first.layout if operation.first else None
    _rings(sheet, frame, first or opening.layout, here.layout)
    draw_anchors(sheet, frame, here, places)
    name_limbs(sheet, runs, places)
    sheet.close_group()
    sheet.add("rect", x=left, y=top, width=right - left, height=bottom - top, fill="none", stroke=INK, stroke_width=0.3)
    _edges(sheet, frame)
    return sheet.xml(), frame.width, done is not None


def _rings(sheet: Drawing, frame: MapFrame, planned: Layout, drawn: Layout) -> None:
    there = {anchor.name: anchor for anchor in drawn.anchors}
    for anchor in planned.anchors:
        here = there.get(anchor.name)
        if here is None or hypot(here.u - anchor.u, here.v - anchor.v) > APART:
            x, y = frame.point(anchor.u, anchor.v)
            ring: dict[str, float | str] = {
                "cx": x,
                "cy": y,
                "r": RING,
                "fill": PAPER,
                "fill_opacity": 0.6,
                "stroke": INK,
            }
            sheet.add("circle", **ring, stroke_width=0.5, stroke_dasharray="1.2 0.9")


def _edges(sheet: Drawing, frame: MapFrame) -> None:
    left, top, right, bottom = frame.box
    across, down = (left + right) / 2, (top + bottom) / 2
    sheet.words(across, top - 2.6, "medial", font_weight="bold")
    sheet.words(across, bottom + 2.8, "lateral", font_weight="bold")
    front, back = (right + 3.6, left - 3.6) if frame.front_right else (left - 3.6, right + 3.6)
    for x, name in ((front, "anterior"), (back, "posterior")):
        turn = f"rotate({90 if x > across else -90} {x:g} {down:g})"
        sheet.words(x, down, name, font_weight="bold", transform=turn)
