"""The course of one score drawn against published means: months across, points up."""

from dataclasses import dataclass

from cuffwright.case.followup import Recovery
from cuffwright.case.score import ScoreTable

WIDTH, HEIGHT = 560, 210
"""Numerical choice: size of the drawing, CSS pixels."""

LEFT, RIGHT, TOP, BOTTOM = 44, 16, 16, 34
"""Numerical choice: its margins, CSS pixels."""

MONTHS = (0, 3, 6, 12, 24)
"""Numerical choice: months that are marked."""

APART = 62
"""Numerical choice: words of two marks nearer than this stand on lines of their own, CSS pixels."""


@dataclass(frozen=True)
class Mark:
    """A published mean: its place, its words and their line; ``y`` None where its value is not known."""

    x: float
    y: float | None
    words: str
    line: int


@dataclass(frozen=True)
class Curve:
    """One score over time, in CSS pixels."""

    title: str
    words: str
    path: str
    dots: tuple[tuple[float, float, str], ...]
    marks: tuple[Mark, ...]
    months: tuple[tuple[float, int], ...]
    values: tuple[tuple[float, float], ...]
    said: str


KINDS = {"mcid": "smallest change that counts", "scb": "substantial benefit", "pass": "acceptable state"}


def curve(table: ScoreTable, course: Recovery) -> Curve:
    """Draw the course of a score; visits before the operation stand at their day, left of month 0."""
    first = min(0.0, *(point.months for point in course.points))
    last = max(MONTHS[-2], *(point.months for point in course.points))

    def across(months: float) -> float:
        return round(LEFT + (WIDTH - LEFT - RIGHT) * (months - first) / (last - first), 1)

    def up(value: float) -> float:
        return round(TOP + (HEIGHT - TOP - BOTTOM) * (table.high - value) / (table.high - table.low), 1)

    dots = tuple((across(one.months), up(one.value), f"{one.value:.3g}") for one in course.points)
    marks: list[Mark] = []
    for kind, when, value in sorted(course.published, key=lambda one: one[1]):
        x = across(when)
        line = marks[-1].line + 1 if marks and x - marks[-1].x < APART else 0
        marks.append(Mark(x, None if value is None else up(value), f"{kind} {when:.1f}", line))
    middle = (table.low + table.high) / 2
    return Curve(
        title=table.title,
        words=course.words,
        path="M" + "L".join(f"{x} {y}" for x, y, _ in dots),
        dots=dots,
        marks=tuple(marks),
        months=tuple((across(one), one) for one in MONTHS if one <= last),
        values=tuple((up(one), one) for one in (table.low, middle, table.high)),
        said="; ".join(f"month {one.months:g}: {one.value:.3g}" for one in course.points),
    )
