"""The repair on the map: anchors, holes, and limbs known by hue, line pattern and name at both ends."""

from dataclasses import dataclass
from math import dist

from cuffwright.case.layout import Anchor, Layout, Stitch
from cuffwright.exchange.report.colours import LimbLook, limb_look
from cuffwright.exchange.report.label_places import Box, LabelPlaces
from cuffwright.exchange.report.map_frame import Drawn, MapFrame
from cuffwright.exchange.report.printed import plain
from cuffwright.exchange.report.svg import INK, PAPER, Drawing, Point

ANCHOR_SIZE = 2.3
"""Half the size of an anchor's mark, mm of paper: a sign, not the implant's size."""

HOLE_SIZE = 0.9
LIMB_WIDTH = 0.9
STEP = 1.5
"""Distance of the marks that keep labels off a limb, mm of paper."""


@dataclass(frozen=True)
class LimbRun:
    """One limb on paper: under the tendon from anchor to hole, over it from hole to ``end`` (None: it stays there)."""

    name: str
    look: LimbLook
    anchor: Point
    hole: Point
    ends: tuple[Point, ...]


def limb_runs(frame: MapFrame, layout: Layout) -> list[LimbRun]:
    """Every limb of the layout with its look, in the order of the holes."""
    runs = []
    for place, hole in enumerate(layout.holes):
        stitches = [s for s in layout.stitches if hole.name in s.holes]
        ends = tuple(frame.point(*_far_end(layout, s)) for s in stitches)
        anchor = layout.anchor(stitches[0].anchor) if stitches and stitches[0].anchor else None
        at = frame.point(hole.u, hole.v)
        foot = frame.point(anchor.u, anchor.v) if anchor else at
        runs.append(LimbRun(hole.name, limb_look(place), foot, at, ends))
    return runs


def draw_limbs(sheet: Drawing, runs: list[LimbRun]) -> None:
    """Thin from anchor to hole (under the tendon), thick on a white casing over the tendon."""
    for run in runs:
        sheet.line([run.anchor, run.hole], stroke=run.look.hue, stroke_width=0.35)
    for run in runs:
        for end in run.ends:
            sheet.line([run.hole, end], stroke=PAPER, stroke_width=LIMB_WIDTH + 0.7, stroke_opacity=0.85)
            draw_look(sheet, [run.hole, end], run.look)


def draw_look(sheet: Drawing, points: list[Point], look: LimbLook) -> None:
    """Draw ``points`` in the hue and line pattern of a limb."""
    if look.pattern == "solid":
        sheet.line(points, stroke=look.hue, stroke_width=LIMB_WIDTH)
    elif look.pattern == "long dash":
        sheet.line(points, stroke=look.hue, stroke_width=LIMB_WIDTH, stroke_dasharray="3.2 1.3")
    elif look.pattern == "dot":
        sheet.line(points, stroke=look.hue, stroke_width=LIMB_WIDTH, stroke_dasharray="0 1.7", stroke_linecap="round")
    else:
        sheet.line(points, stroke=look.hue, stroke_width=0.3)
        sheet.line(points, stroke=look.hue, stroke_width=1.3, stroke_dasharray="0 3", stroke_linecap="round")


def draw_holes(sheet: Drawing, frame: MapFrame, result: Drawn, places: LabelPlaces) -> None:
    """Each hole as a small open ring."""
    for hole in result.layout.holes:
        x, y = frame.point(hole.u, hole.v)
        sheet.add("circle", cx=x, cy=y, r=HOLE_SIZE, fill=PAPER, stroke=INK, stroke_width=0.4)
        places.take(Box(x, y, 2 * HOLE_SIZE, 2 * HOLE_SIZE))


def draw_anchors(sheet: Drawing, frame: MapFrame, result: Drawn, places: LabelPlaces) -> None:
    """Anchors with their names: round next to the joint, square in the lateral row."""
    for anchor in result.layout.anchors:
        x, y = frame.point(anchor.u, anchor.v)
        places.take(Box(x, y, 2 * ANCHOR_SIZE, 2 * ANCHOR_SIZE))
        _anchor_mark(sheet, anchor, x, y)
        size = 2.7 if len(anchor.name) < 3 else 4.6 / len(anchor.name) / 0.602
        sheet.words(x, y, plain(anchor.name), fill=PAPER, font_weight="bold", font_size=size)


def name_limbs(sheet: Drawing, runs: list[LimbRun], places: LabelPlaces) -> None:
    """Write each limb's name at the hole and at its far end, framed in its hue."""
    for run in runs:
        away = run.ends[-1] if run.ends else run.anchor
        for start, end in ((run.hole, away), (away, run.hole)):
            box = places.place(run.name, _along(start, end))
            left, top = box.x - box.width / 2, box.y - box.height / 2
            sheet.add(
                "rect",
                x=left,
                y=top,
                width=box.width,
                height=box.height,
                rx=0.6,
                fill=PAPER,
                fill_opacity=0.9,
                stroke=run.look.hue,
                stroke_width=0.3,
            )
            sheet.words(box.x, box.y, plain(run.name))


def keep_limbs_clear(runs: list[LimbRun], places: LabelPlaces) -> None:
    """Mark the limbs themselves as taken, so that later labels do not cover them."""
    for run in runs:
        for end in run.ends:
            length = dist(run.hole, end)
            for step in range(int(length / STEP) + 1):
                part = step * STEP / max(length, STEP)
                x = run.hole[0] + part * (end[0] - run.hole[0])
                y = run.hole[1] + part * (end[1] - run.hole[1])
                places.take(Box(x, y, LIMB_WIDTH, LIMB_WIDTH))


def _along(start: Point, end: Point) -> list[Point]:
    """Candidate middles near ``start``: on the limb towards ``end`` first, then beside it."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    ex, ey = dx / length, dy / length
    on = [(start[0] + ex * d, start[1] + ey * d) for d in (5.0, 6.5, 4.0, 8.0) if d < 0.45 * length]
    around = ((0, -4), (5, 0), (-5, 0), (0, 4), (5, -3), (-5, -3), (5, 3), (-5, 3), (0, -7), (8, 0), (-8, 0), (0, 7))
    return on + [(start[0] + x, start[1] + y) for x, y in around]


def _far_end(layout: Layout, stitch: Stitch) -> tuple[float, float]:
    """Where the limb leaves the tendon's surface: a lateral anchor, the knot between two holes, or its own anchor."""
    if stitch.to is not None:
        lateral = layout.anchor(stitch.to)
        return lateral.u, lateral.v
    if stitch.kind in ("mattress", "side-to-side"):
        others = [layout.hole(name) for name in stitch.holes]
        return sum(h.u for h in others) / len(others), sum(h.v for h in others) / len(others)
    anchor = layout.anchor(stitch.anchor)
    return anchor.u, anchor.v


def _anchor_mark(sheet: Drawing, anchor: Anchor, x: float, y: float) -> None:
    if anchor.row == "medial":
        sheet.add("circle", cx=x, cy=y, r=ANCHOR_SIZE, fill=INK, stroke=PAPER, stroke_width=0.4)
        return
    side = 2 * ANCHOR_SIZE
    left, top = x - ANCHOR_SIZE, y - ANCHOR_SIZE
    sheet.add("rect", x=left, y=top, width=side, height=side, fill=INK, stroke=PAPER, stroke_width=0.4)
