"""The practice drawn: shares and targets on one scale of 100 people, the chart over repairs."""

from dataclasses import dataclass

from cuffwright.case.practice import Funnel, Practice

PERCENT = 100.0

WIDTH, HEIGHT = 720, 240
"""Numerical choice: size of the chart, CSS pixels."""

LEFT, RIGHT, TOP, BOTTOM = 44, 16, 16, 30
"""Numerical choice: its margins, CSS pixels."""

SPARE = 1.1
"""Numerical choice: the chart reaches this many times its highest score or limit."""


@dataclass(frozen=True)
class Scaled:
    """The own share and a target with its limits, in percent; ``words`` say all that is drawn."""

    title: str
    share: float
    target: float | None
    inner: tuple[float, float]
    outer: tuple[float, float]
    words: str


@dataclass(frozen=True)
class Charted:
    """The running score, CSS pixels: its path, failures as dots, the limit, marks of the axis."""

    path: str
    dots: tuple[tuple[float, float], ...]
    limit_y: float
    limit: float
    values: tuple[tuple[float, float], ...]
    signals: tuple[tuple[float, float], ...]
    words: str


def scaled(found: Practice, one: Funnel) -> Scaled:
    """A target with its limits and the own share of those seen."""
    share = PERCENT * one_share(found)
    inner, outer = ((PERCENT * low, PERCENT * high) for low, high in (one.inner, one.outer))
    words = (
        f"target {PERCENT * one.target:.1f} %; 95 of 100 such practices in {inner[0]:.1f} to {inner[1]:.1f} %, 998 of"
        f" 1000 in {outer[0]:.1f} to {outer[1]:.1f} %; this practice {share:.1f} %: {one.where}"
    )
    return Scaled(one.people, share, PERCENT * one.target, inner, outer, words)


def one_share(found: Practice) -> float:
    """The share torn again of those seen."""
    return found.interval.middle if found.interval else 0.0


def charted(found: Practice) -> Charted | None:
    """The chart; None where it is empty."""
    if not found.chart:
        return None
    top = SPARE * max(found.limit, *(one.score for one in found.chart))
    count = max(1, len(found.chart) - 1)

    def across(place: int) -> float:
        return round(LEFT + (WIDTH - LEFT - RIGHT) * place / count, 1)

    def up(score: float) -> float:
        return round(TOP + (HEIGHT - TOP - BOTTOM) * (1 - score / top), 1)

    points = [(across(at), up(one.score)) for at, one in enumerate(found.chart)]
    signals = tuple(point for point, one in zip(points, found.chart, strict=True) if one.signal)
    last = found.chart[-1]
    return Charted(
        path="M" + "L".join(f"{x} {y}" for x, y in points),
        dots=tuple(point for point, one in zip(points, found.chart, strict=True) if one.failed),
        limit_y=up(found.limit),
        limit=found.limit,
        values=tuple((up(one), one) for one in range(int(top) + 1)),
        signals=signals,
        words=f"{len(found.chart)} repairs, score {last.score:.2f} after the last, signal at {found.limit:g},"
        f" {len(signals)} above it",
    )
