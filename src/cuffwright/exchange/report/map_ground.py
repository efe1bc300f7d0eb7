"""The ground of the map: bone, cartilage, wall, tendon with the tear as a gap, terrain lines, graticule."""

from collections.abc import Sequence

from cuffwright.exchange.report.colours import BONE, CARTILAGE, TENDON, WALL
from cuffwright.exchange.report.label_places import LabelPlaces
from cuffwright.exchange.report.map_frame import Drawn, MapFrame, Terrain
from cuffwright.exchange.report.printed import number, plain
from cuffwright.exchange.report.svg import GREY, INK, PAPER, Drawing, Point, path_data

GRATICULE = 5
"""Distance of the graticule lines, mm of bone."""


def draw_zones(sheet: Drawing, frame: MapFrame, result: Drawn) -> None:
    """Flat tints by chart zone: cartilage medial of the margin, bone, wall lateral of the footprint's edge."""
    edge = result.strip.edge
    zones = ((frame.v_low, 0.0, CARTILAGE), (0.0, edge, BONE), (edge, frame.v_high, WALL))
    for top, bottom, tint in zones:
        _rectangle(sheet, frame, (frame.u_low, frame.u_high, top, bottom), fill=tint)


def draw_tendon(sheet: Drawing, frame: MapFrame, result: Drawn) -> None:
    """The tendon as a translucent tint whose gap is the tear."""
    strip = result.strip
    back = strip.front + strip.width
    for low, high in ((frame.u_low, strip.front), (back, frame.u_high)):
        _rectangle(sheet, frame, (low, high, frame.v_low, strip.edge), fill=TENDON, fill_opacity=0.45)
    _rectangle(sheet, frame, (strip.front, back, frame.v_low, 0.0), fill=TENDON, fill_opacity=0.2)


def draw_graticule(sheet: Drawing, frame: MapFrame) -> None:
    """Thin lines every 5 mm of bone."""
    for along_u, low, high in ((True, frame.u_low, frame.u_high), (False, frame.v_low, frame.v_high)):
        for step in range(int(low // GRATICULE) + 1, int(high // GRATICULE) + 1):
            at = float(step * GRATICULE)
            ends = [(at, frame.v_low), (at, frame.v_high)] if along_u else [(frame.u_low, at), (frame.u_high, at)]
            sheet.line([frame.point(u, v) for u, v in ends], stroke=GREY, stroke_width=0.12, stroke_opacity=0.45)


def draw_tear_outline(sheet: Drawing, frame: MapFrame, result: Drawn) -> None:
    """The torn footprint as a dashed outline."""
    strip = result.strip
    box = (strip.front, strip.front + strip.width, 0.0, strip.edge)
    _rectangle(sheet, frame, box, fill="none", stroke=INK, stroke_width=0.35, stroke_dasharray="2 1.2")


def draw_terrain(sheet: Drawing, frame: MapFrame, terrain: Terrain) -> None:
    """Every named terrain line, one line weight each."""
    for name, run in terrain.items():
        points = [frame.point(u, v) for u, v in run]
        if len(points) > 1:
            closed = points[0] == points[-1]
            sheet.add(
                "path",
                d=path_data(points, closed=closed),
                fill="none",
                stroke=GREY,
                stroke_width=0.5 if "margin" in name else 0.3,
            )


def name_ground(sheet: Drawing, frame: MapFrame, result: Drawn, terrain: Terrain, places: LabelPlaces) -> None:
    """Write the names of terrain, tear and tendon where nothing is hidden by them; what finds no place is left out."""
    strip = result.strip
    middle = strip.front + strip.width / 2
    tear = f"tear {number(strip.width)} mm wide"
    _name(sheet, places, tear, [frame.point(middle, frame.v_low * share) for share in (0.85, 0.7, 0.55, 0.35)])
    backs = [(strip.front + strip.width + frame.u_high) / 2, (strip.front + frame.u_low) / 2]
    rows = [share * strip.edge for share in (0.5, 0.3, 0.7, 0.15, 0.85, -0.2)]
    _name(sheet, places, "tendon", [frame.point(u, v) for u in backs for v in rows])
    for name, run in terrain.items():
        _name(sheet, places, plain(name), _beside(frame, run))


def _beside(frame: MapFrame, run: Sequence[tuple[float, float]]) -> list[Point]:
    """Candidate places beside a line, its ends on the map first."""
    on_map = [(u, v) for u, v in run if frame.u_low <= u <= frame.u_high and frame.v_low <= v <= frame.v_high]
    order = sorted(range(len(on_map)), key=lambda i: -abs(i - (len(on_map) - 1) / 2))
    spots = [frame.point(*on_map[i]) for i in order]
    shifts = ((0.0, -2.2), (0.0, 2.2), (9.0, 0.0), (-9.0, 0.0), (14.0, -2.2), (-14.0, -2.2), (14.0, 2.2), (-14.0, 2.2))
    return [(x + dx, y + dy) for x, y in spots for dx, dy in shifts]


def _name(sheet: Drawing, places: LabelPlaces, text: str, candidates: list[Point]) -> None:
    box = places.free_place(text, candidates)
    if box is not None:
        sheet.add(
            "rect",
            x=box.x - box.width / 2,
            y=box.y - box.height / 2,
            width=box.width,
            height=box.height,
            fill=PAPER,
            fill_opacity=0.8,
        )
        sheet.words(box.x, box.y, text, fill=GREY, font_style="italic")


def _rectangle(sheet: Drawing, frame: MapFrame, box: tuple[float, float, float, float], **look: float | str) -> None:
    one, other = frame.point(box[0], box[2]), frame.point(box[1], box[3])
    left, top = min(one[0], other[0]), min(one[1], other[1])
    wide, high = abs(one[0] - other[0]), abs(one[1] - other[1])
    sheet.add("rect", x=left, y=top, width=wide, height=high, **look)
