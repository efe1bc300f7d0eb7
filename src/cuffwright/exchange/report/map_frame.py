"""Where the footprint map lies on paper: bounds, scale, and which way is front."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from cuffwright.anatomy.side import map_axes, side_of
from cuffwright.case.errors import FormatError
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.exchange.report.svg import Point

Terrain = Mapping[str, Sequence[tuple[float, float]]]

SCALES = (4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 0.5)
"""Scales a ruler can follow: paper mm per mm of bone."""

SIDE_MARGIN = 7.0
TOP_MARGIN = 6.0
BOTTOM_MARGIN = 19.0
AROUND = 5.0
"""Bone shown around the repair, mm."""

MOST_CONTEXT = 14.0
"""Bone shown further in front and behind where the page has room, mm."""

TERRAIN_REACH = 6.0
"""How far beyond the repair terrain still widens the map, mm."""


class Drawn(Protocol):
    """What is drawn on the map: whose side, which layout, on which strip; an answer is one."""

    @property
    def side(self) -> str:
        """``right`` or ``left``."""
        ...

    @property
    def layout(self) -> Layout:
        """The repair."""
        ...

    @property
    def strip(self) -> TendonStrip:
        """The torn tendon."""
        ...


@dataclass(frozen=True)
class MapFrame:
    """Chart bounds (mm), paper scale, and whether the front lies to the right (a right shoulder)."""

    u_low: float
    u_high: float
    v_low: float
    v_high: float
    scale: float
    front_right: bool

    @property
    def width(self) -> float:
        """Width of the sheet, mm of paper."""
        return (self.u_high - self.u_low) * self.scale + 2 * SIDE_MARGIN

    @property
    def height(self) -> float:
        """Height of the sheet, mm of paper."""
        return (self.v_high - self.v_low) * self.scale + TOP_MARGIN + BOTTOM_MARGIN

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the map itself on the sheet, mm of paper."""
        return SIDE_MARGIN, TOP_MARGIN, self.width - SIDE_MARGIN, self.height - BOTTOM_MARGIN

    def point(self, u: float, v: float) -> Point:
        """The place on paper (mm) of chart point ``u``, ``v`` (mm): medial up, the front on the shoulder's own side."""
        across = self.u_high - u if self.front_right else u - self.u_low
        return SIDE_MARGIN + across * self.scale, TOP_MARGIN + (v - self.v_low) * self.scale


def map_frame(result: Drawn, terrain: Terrain, paper: tuple[float, float]) -> MapFrame:
    """Frame the repair of ``result`` as large as ``paper`` (width, height in mm) allows at a round scale.

    Raises
    ------
    CaseError
        When the side is neither right nor left.
    FormatError
        When the repair does not fit at half its size.
    """
    front_right = map_axes(side_of(result.side)).anterior == "right"
    low_u, high_u, low_v, high_v = _bounds(result, terrain)
    for scale in SCALES:
        frame = MapFrame(low_u, high_u, low_v, high_v, scale, front_right)
        if frame.width <= paper[0] and frame.height <= paper[1]:
            more = min((paper[0] - frame.width) / scale / 2, MOST_CONTEXT)
            return replace(frame, u_low=low_u - more, u_high=high_u + more)
    raise FormatError(
        f"a map of {high_u - low_u:g} by {high_v - low_v:g} mm does not fit the page; check the anchor positions"
    )


def _bounds(result: Drawn, terrain: Terrain) -> tuple[float, float, float, float]:
    strip = result.strip
    points = [(strip.front, 0.0), (strip.front + strip.width, strip.edge)]
    points += [(a.u, a.v) for a in result.layout.anchors] + [(h.u, h.v) for h in result.layout.holes]
    low_u, high_u, low_v, high_v = _span(points)
    reach = (low_u - TERRAIN_REACH, high_u + TERRAIN_REACH, low_v - TERRAIN_REACH, high_v + TERRAIN_REACH)
    near = [
        (u, v) for run in terrain.values() for u, v in run if reach[0] <= u <= reach[1] and reach[2] <= v <= reach[3]
    ]
    wide = _span([*points, *near])
    return (
        min(low_u - AROUND, wide[0]),
        max(high_u + AROUND, wide[1]),
        min(low_v - AROUND, wide[2]),
        max(high_v + AROUND, wide[3]),
    )


def _span(points: Iterable[tuple[float, float]]) -> tuple[float, float, float, float]:
    us, vs = zip(*points, strict=True)
    return min(us), max(us), min(vs), max(vs)
