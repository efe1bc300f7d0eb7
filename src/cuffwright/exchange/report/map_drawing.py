"""The footprint map to scale: the same drawing for the printed page and for anyone who asks for SVG."""

from dataclasses import dataclass

from cuffwright.case.hold import HoldResult
from cuffwright.exchange.report.label_places import LabelPlaces
from cuffwright.exchange.report.map_frame import MapFrame, Terrain, map_frame
from cuffwright.exchange.report.map_ground import (
    draw_graticule,
    draw_tear_outline,
    draw_tendon,
    draw_terrain,
    draw_zones,
    name_ground,
)
from cuffwright.exchange.report.map_repair import (
    draw_anchors,
    draw_holes,
    draw_limbs,
    keep_limbs_clear,
    limb_runs,
    name_limbs,
)
from cuffwright.exchange.report.pressure_drawing import (
    draw_iso_lines,
    draw_legend,
    draw_tints,
    iso_lines,
    name_iso_lines,
)
from cuffwright.exchange.report.printed import number, plain
from cuffwright.exchange.report.svg import INK, Drawing

PAPER_BOX = (182.0, 128.0)
"""The room for the map on an A4 page, mm."""

SCALE_BAR = 10.0
"""Length of the scale bar, mm of bone."""


@dataclass(frozen=True)
class MapDrawing:
    """The map as SVG with its size on paper (mm), its scale (paper mm per mm of bone), and its words for a reader."""

    svg: str
    width: float
    height: float
    scale: float
    alt: str

    @property
    def scale_words(self) -> str:
        """The scale as print gives it: ``3:1``, or ``1:2`` for a map smaller than the bone."""
        return f"{number(self.scale)}:1" if self.scale >= 1 else f"1:{number(1 / self.scale)}"


def map_svg(result: HoldResult, terrain: Terrain, *, paper: tuple[float, float] = PAPER_BOX) -> str:
    """The footprint map of ``result`` as SVG text, sized in mm; see :func:`draw_map`."""
    return draw_map(result, terrain, paper=paper).svg


def draw_map(result: HoldResult, terrain: Terrain, *, paper: tuple[float, float] = PAPER_BOX) -> MapDrawing:
    """Draw the footprint map.

    Parameters
    ----------
    result
        The answer whose layout, tear and contact pressure are drawn.
    terrain
        Named lines of the footprint chart in (u, v), mm.
    paper
        Room for the drawing, width and height in mm; the largest round scale that fits is taken.

    Raises
    ------
    CaseError
        When the side is neither right nor left.
    FormatError
        When the map does not fit.
    """
    frame = map_frame(result, terrain, paper)
    sheet = Drawing(frame.width, frame.height)
    places = LabelPlaces(frame.box)
    left, top, right, bottom = frame.box
    sheet.clip("map", left, top, right - left, bottom - top)
    sheet.open_group(clip_path="url(#map)")
    draw_zones(sheet, frame, result)
    draw_tendon(sheet, frame, result)
    draw_tints(sheet, frame, result.pressure)
    draw_graticule(sheet, frame)
    draw_terrain(sheet, frame, terrain)
    isos = iso_lines(frame, result)
    draw_iso_lines(sheet, isos)
    draw_tear_outline(sheet, frame, result)
    runs = limb_runs(frame, result.layout)
    draw_limbs(sheet, runs)
    draw_holes(sheet, frame, result, places)
    draw_anchors(sheet, frame, result, places)
    name_limbs(sheet, runs, places)
    keep_limbs_clear(runs, places)
    name_iso_lines(sheet, isos, places)
    name_ground(sheet, frame, result, terrain, places)
    sheet.close_group()
    sheet.add("rect", x=left, y=top, width=right - left, height=bottom - top, fill="none", stroke=INK, stroke_width=0.3)
    _edges(sheet, frame)
    _scale_bar(sheet, frame)
    draw_legend(sheet, max(left + 62.0, right - 82.0), bottom + 6.5, result)
    return MapDrawing(sheet.xml(), frame.width, frame.height, frame.scale, map_words(result, frame.scale))


def map_words(result: HoldResult, scale: float) -> str:
    """What the map shows, for a reader who cannot see it."""
    anchors = "; ".join(f"{a.name} at u {number(a.u)}, v {number(a.v)}" for a in result.layout.anchors)
    holes = "; ".join(f"{h.name} at u {number(h.u)}, v {number(h.v)}" for h in result.layout.holes)
    strip, contact = result.strip, result.contact
    front = "right" if result.side == "right" else "left"
    return plain(
        f"Footprint map of the {result.side} shoulder at {number(scale)} to 1, medial up, anterior at the {front} "
        f"edge. Tear {number(strip.width)} mm wide. Positions in mm, u backwards from the front of the footprint, "
        f"v laterally from the articular margin. Anchors: {anchors}. Limbs pass at: {holes}. "
        f"Contact pressure peaks at {number(contact.peak)} MPa; {number(contact.area_share)} of the torn footprint "
        f"lies over {number(contact.threshold)} MPa."
    )


def _edges(sheet: Drawing, frame: MapFrame) -> None:
    left, top, right, bottom = frame.box
    across, down = (left + right) / 2, (top + bottom) / 2
    sheet.words(across, top - 2.6, "medial", font_size=3.2, font_weight="bold")
    sheet.words(across, bottom + 2.8, "lateral", font_size=3.2, font_weight="bold")
    front, back = (right + 3.6, left - 3.6) if frame.front_right else (left - 3.6, right + 3.6)
    for x, name in ((front, "anterior"), (back, "posterior")):
        turn = f"rotate({90 if x > across else -90} {x:g} {down:g})"
        sheet.words(x, down, name, font_size=3.2, font_weight="bold", transform=turn)


def _scale_bar(sheet: Drawing, frame: MapFrame) -> None:
    left, bottom = frame.box[0], frame.box[3]
    end, y = left + SCALE_BAR * frame.scale, bottom + 8.2
    sheet.line([(left, y), (end, y)], stroke_width=0.9)
    for x in (left, (left + end) / 2, end):
        sheet.line([(x, y - 1.4), (x, y + 1.4)], stroke_width=0.3)
    sheet.words(left, y + 3.6, "0", text_anchor="middle")
    sheet.words(end, y + 3.6, f"{number(SCALE_BAR)} mm")
