"""Contact pressure on the map: cividis tints, iso-lines with their MPa, the threshold emphasised."""

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import cast

import numpy as np
from contourpy import FillType, LineType, contour_generator
from numpy.typing import NDArray

from cuffwright.case.contact import PressureMap
from cuffwright.case.hold import HoldResult
from cuffwright.exchange.report.colours import pressure_tint
from cuffwright.exchange.report.label_places import LabelPlaces
from cuffwright.exchange.report.map_frame import MapFrame
from cuffwright.exchange.report.printed import number
from cuffwright.exchange.report.svg import INK, PAPER, Drawing, Point, path_data

Floats = NDArray[np.float64]

MOST_BANDS = 6
SHORTEST_LABELLED = 9.0
"""Iso-lines shorter than this (mm of paper) carry no label."""


@dataclass(frozen=True)
class Iso:
    """One iso-line on paper (mm) at ``level`` MPa."""

    level: float
    points: list[Point]
    threshold: bool


def pressure_levels(pressure: PressureMap) -> list[float]:
    """Round pressure levels (MPa) from the first step above 0 to the one above the peak; empty without pressure."""
    peak = max((p for row in pressure.pressure for p in row), default=0.0)
    if len(pressure.u) < 2 or len(pressure.v) < 2 or not math.isfinite(peak) or peak <= 0:
        return []
    step = round_step(peak, MOST_BANDS)
    bands = math.ceil(round(peak / step, 6))
    return [float(f"{step * k:.6g}") for k in range(1, bands + 1)]


def round_step(reach: float, most: int) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that divides ``reach`` into at most ``most`` parts."""
    power = 10.0 ** math.floor(math.log10(reach / most))
    return next(power * m for m in (1, 2, 5, 10, 20) if reach / (power * m) <= most * (1 + 1e-9))


def draw_tints(sheet: Drawing, frame: MapFrame, pressure: PressureMap) -> None:
    """Fill each band between two levels with its tint; pressure under the first level stays blank."""
    levels = pressure_levels(pressure)
    if not levels:
        return
    generator = contour_generator(*_grid(pressure), fill_type=FillType.OuterOffset)
    for k, low in enumerate(levels):
        high = levels[k + 1] if k + 1 < len(levels) else math.inf
        areas, offsets = cast("tuple[list[Floats], list[NDArray[np.uint32]]]", generator.filled(low, high))
        for area, ends in zip(areas, offsets, strict=True):
            rings = [area[a:b] for a, b in pairwise(ends)]
            outline = "".join(path_data(_on_paper(frame, ring), closed=True) for ring in rings)
            sheet.add("path", d=outline, fill=_tint(k, len(levels)), fill_opacity=0.6, fill_rule="evenodd")


def iso_lines(frame: MapFrame, result: HoldResult) -> list[Iso]:
    """The iso-lines of every level and of the threshold, on paper."""
    levels = pressure_levels(result.pressure)
    if not levels:
        return []
    threshold = result.contact.threshold
    generator = contour_generator(*_grid(result.pressure), line_type=LineType.Separate)

    def runs(level: float) -> list[list[Point]]:
        return [_on_paper(frame, run) for run in cast("list[Floats]", generator.lines(level))]

    thin = [Iso(level, run, False) for level in levels if level != threshold for run in runs(level)]
    return thin + [Iso(threshold, run, True) for run in runs(threshold)]


def draw_iso_lines(sheet: Drawing, isos: list[Iso]) -> None:
    """Draw the lines: thin, and the threshold thick on a white casing."""
    for iso in isos:
        if iso.threshold:
            sheet.line(iso.points, stroke=PAPER, stroke_width=1.3)
        sheet.line(iso.points, stroke=INK, stroke_width=0.7 if iso.threshold else 0.18)


def name_iso_lines(sheet: Drawing, isos: list[Iso], places: LabelPlaces) -> None:
    """Write the MPa on each line that is long enough and has a free spot; the threshold first."""
    for iso in sorted(isos, key=lambda i: not i.threshold):
        if _length(iso.points) < SHORTEST_LABELLED:
            continue
        text = f"{number(iso.level)} MPa" if iso.threshold else number(iso.level)
        box = places.free_place(text, _spots(iso.points))
        if box is None:
            continue
        left, top = box.x - box.width / 2, box.y - box.height / 2
        sheet.add("rect", x=left, y=top, width=box.width, height=box.height, fill=PAPER, fill_opacity=0.75)
        sheet.words(box.x, box.y, text, font_weight="bold" if iso.threshold else "normal")


def draw_legend(sheet: Drawing, left: float, top: float, result: HoldResult) -> float:
    """Tints with their MPa, then the threshold line; returns the right end (mm of paper)."""
    levels = pressure_levels(result.pressure)
    cell, high = 11.0, 3.2
    if not levels:
        sheet.words(left, top + high / 2, "no contact pressure to draw", text_anchor="start")
        return left + 45.0
    for k, low in enumerate(levels):
        tint = _tint(k, len(levels))
        sheet.add("rect", x=left + k * cell, y=top, width=cell, height=high, fill=tint, fill_opacity=0.6)
        sheet.words(left + k * cell, top + high + 2.4, number(low))
    end = left + len(levels) * cell
    sheet.line([(end - cell + 2.0, top + high + 7.0), (end - cell + 8.0, top + high + 7.0)], stroke_width=0.7)
    sheet.words(end - cell, top + high + 7.0, f"threshold {number(result.contact.threshold)} MPa", text_anchor="end")
    sheet.words(end + 1.0, top + high + 2.4, "MPa", text_anchor="start")
    return end


def _tint(band: int, bands: int) -> str:
    return pressure_tint(band / max(bands - 1, 1))


def _grid(pressure: PressureMap) -> tuple[Floats, Floats, Floats]:
    return np.array(pressure.u), np.array(pressure.v), np.array(pressure.pressure)


def _on_paper(frame: MapFrame, run: Floats) -> list[Point]:
    return [frame.point(float(u), float(v)) for u, v in run]


def _length(points: list[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _spots(points: list[Point]) -> list[Point]:
    order = sorted(range(len(points)), key=lambda i: abs(i - len(points) / 2))
    return [points[i] for i in order]
