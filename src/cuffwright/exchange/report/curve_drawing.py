"""Two curves on page two: gap against load, and contact area over each pressure threshold."""

import math

from cuffwright.case.contact import Contact
from cuffwright.case.hold import HoldResult, ScenarioHold
from cuffwright.exchange.report.label_places import label_box
from cuffwright.exchange.report.pressure_drawing import round_step
from cuffwright.exchange.report.printed import number, plain
from cuffwright.exchange.report.svg import GREY, INK, PAPER, Drawing, Point

LEFT, RIGHT, TOP, BOTTOM = 11.0, 21.0, 4.0, 9.0
DASHES = {"good": "none", "fair": "3 1.3", "poor": "0.9 1.1"}
"""Line pattern by grade of tissue, so that print in black and white keeps the scenarios apart."""

MOST_TICKS = 5


class Plot:
    """Axes in mm of paper with a linear scale from 0 to ``reach`` on both."""

    def __init__(self, size: tuple[float, float], reach: tuple[float, float], names: tuple[str, str]) -> None:
        self.sheet = Drawing(*size)
        self.reach = reach
        self._names = names

    def at(self, x: float, y: float) -> Point:
        """The place on paper of the value ``x``, ``y``; what lies off the axes is drawn at their ends."""
        x, y = min(max(x, 0.0), self.reach[0]), min(max(y, 0.0), self.reach[1])
        wide, high = self.sheet.width - LEFT - RIGHT, self.sheet.height - TOP - BOTTOM
        return LEFT + x / self.reach[0] * wide, self.sheet.height - BOTTOM - y / self.reach[1] * high

    def axes(self) -> None:
        """Draw both axes with round ticks and their names with units."""
        for across in (True, False):
            reach = self.reach[0 if across else 1]
            step = round_step(reach, MOST_TICKS)
            for k in range(int(reach / step + 1e-9) + 1):
                self._tick(float(f"{k * step:.6g}"), across=across)
        self.sheet.line([self.at(0, self.reach[1]), self.at(0, 0), self.at(self.reach[0], 0)], stroke_width=0.25)
        middle, low = self.at(self.reach[0] / 2, 0)
        self.sheet.words(middle, low + 7.0, self._names[0])
        self.sheet.words(LEFT - 9.5, 1.6, self._names[1], text_anchor="start")

    def _tick(self, value: float, *, across: bool) -> None:
        if across:
            x, y = self.at(value, 0)
            self.sheet.words(x, y + 3.0, number(value), fill=GREY)
            return
        x, y = self.at(0, value)
        end = self.at(self.reach[0], value)
        self.sheet.line([(x, y), end], stroke=GREY, stroke_width=0.1)
        self.sheet.words(x - 1.2, y, number(value), text_anchor="end", fill=GREY)


def gap_chart(result: HoldResult, shown: ScenarioHold, size: tuple[float, float]) -> str:
    """Gap (mm) against load (N) for every scenario, with the intervals of gap and strength of ``shown``; SVG text."""
    loads = [load for s in result.scenarios for load, _ in s.gap_curve] + [s.gap_load for s in result.scenarios]
    gaps = [gap for s in result.scenarios for _, gap in s.gap_curve]
    loads += [shown.ultimate.high]
    gaps += [shown.gap.high] if shown.gap else []
    plot = Plot(size, (_reach(loads), _reach(gaps)), ("load, N", "gap, mm"))
    plot.axes()
    ends: list[tuple[Point, str]] = []
    for scenario in result.scenarios:
        points = [plot.at(load, gap) for load, gap in scenario.gap_curve]
        if not points:
            continue
        plot.sheet.line(points, stroke_width=0.6, stroke_dasharray=DASHES[scenario.tissue])
        ends.append((points[-1], f"{scenario.tissue}/{scenario.bone}"))
    if shown.gap:
        _interval(plot.sheet, [plot.at(shown.gap_load, g) for g in (shown.gap.low, shown.gap.middle, shown.gap.high)])
    strength = (shown.ultimate.low, shown.ultimate.middle, shown.ultimate.high)
    _interval(plot.sheet, [plot.at(load, plot.reach[1] * 0.94) for load in strength])
    ends.append((plot.at(strength[2], plot.reach[1] * 0.94), "gives way"))
    _name_ends(plot.sheet, ends)
    return plot.sheet.xml()


def gap_words(result: HoldResult) -> str:
    """The points of the gap curves in words."""
    runs = [
        f"{s.tissue} tissue, {s.bone} bone: "
        + ", ".join(f"{number(gap)} mm at {number(load)} N" for load, gap in s.gap_curve)
        for s in result.scenarios
    ]
    return plain("Gap against load. " + ". ".join(runs) + ".")


def contact_chart(result: HoldResult, size: tuple[float, float]) -> str:
    """Share of the torn footprint over each pressure threshold, as tied and under load; SVG text."""
    runs = _contacts(result)
    reach = _reach([t for _, c in runs for t in c.thresholds] + [result.contact.threshold])
    plot = Plot(size, (reach, 1.0), ("pressure threshold, MPa", "share of torn footprint"))
    plot.axes()
    at = result.contact.threshold
    plot.sheet.line([plot.at(at, 0), plot.at(at, 1.0)], stroke_width=0.5, stroke=GREY)
    ends = []
    for name, contact in runs:
        points = [plot.at(t, a) for t, a in zip(contact.thresholds, contact.area_shares, strict=True)]
        if not points:
            continue
        plot.sheet.line(points, stroke_width=0.6, stroke_dasharray="none" if name == "as tied" else "3 1.3")
        ends.append((points[-1], name))
        _dot(plot.sheet, plot.at(contact.threshold, contact.area_share))
    _name_ends(plot.sheet, ends)
    return plot.sheet.xml()


def contact_words(result: HoldResult) -> str:
    """The points of the contact curves in words."""
    runs = [
        f"{name}: "
        + ", ".join(f"{number(a)} over {number(t)} MPa" for t, a in zip(c.thresholds, c.area_shares, strict=True))
        for name, c in _contacts(result)
    ]
    return plain("Share of the torn footprint over a pressure threshold. " + ". ".join(runs) + ".")


def _contacts(result: HoldResult) -> list[tuple[str, Contact]]:
    runs = [("as tied", result.contact)]
    return runs + ([("under load", result.contact_loaded)] if result.contact_loaded else [])


def _reach(values: list[float]) -> float:
    top = max(values, default=0.0)
    if top <= 0:
        return 1.0
    step = round_step(top, MOST_TICKS)
    return float(f"{step * math.ceil(round(top / step, 6)):.6g}")


def _name_ends(sheet: Drawing, ends: list[tuple[Point, str]]) -> None:
    """Name each curve at its end on a light ground, pushed apart where two names would overlap."""
    last = sheet.height - BOTTOM + 2.2
    for (x, y), name in sorted(ends, key=lambda e: -e[0][1]):
        last = min(y, last - 3.0)
        box = label_box(0, last, name)
        sheet.add(
            "rect",
            x=x + 1.2,
            y=last - box.height / 2,
            width=box.width,
            height=box.height,
            fill=PAPER,
            fill_opacity=0.85,
        )
        sheet.words(x + 1.6, last, name, text_anchor="start")


def _interval(sheet: Drawing, points: list[Point]) -> None:
    low, middle, high = points
    sheet.line([low, high], stroke=PAPER, stroke_width=1.8)
    sheet.line([low, high], stroke=INK, stroke_width=0.5)
    _dot(sheet, middle)


def _dot(sheet: Drawing, at: Point) -> None:
    sheet.add("circle", cx=at[0], cy=at[1], r=1.0, fill=INK, stroke=PAPER, stroke_width=0.3)
