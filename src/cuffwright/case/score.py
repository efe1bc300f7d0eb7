"""Outcome scores as data: what a score asks for in numbers, its formula, its limits; no wording of any question."""

from dataclasses import dataclass
from typing import Literal

Best = Literal["highest", "lowest"]
Moment = Literal["before", "after"]


@dataclass(frozen=True)
class Part:
    """One part of a score: ``items`` answers from ``low`` to ``high`` that together are ``worth`` points.

    The points are ``worth`` times the mean answer's way from ``low`` to ``high``; ``turned`` where a low answer is
    good. ``steps`` are the only answers allowed, where not every number is. ``bands`` turn a measure into points: the
    points of the last edge that it reaches. ``per`` is the measure of one point, up to ``worth``, in whole points.
    ``least`` answers are enough; the mean of the others then stands for the rest. ``after_only`` parts have no answer
    before an operation. ``version`` is the version of the score it belongs to.
    """

    name: str
    items: int
    low: float
    high: float
    worth: float
    least: int
    turned: bool = False
    steps: tuple[float, ...] = ()
    bands: tuple[tuple[float, float], ...] = ()
    per: float | None = None
    unit: str = "points"
    after_only: bool = False
    version: str = ""


@dataclass(frozen=True)
class Threshold:
    """A published limit of a change (mcid, scb) or of a state (pass): its value, source, year, whom it was found in."""

    kind: str
    tag: str
    value: float
    source: str
    year: int | None
    people: str
    verified: bool
    default: bool


@dataclass(frozen=True)
class ScoreTable:
    """One score as data. ``best`` end is good; ``versions`` non-empty means that an answer must name its version.

    ``how`` is what must be told of the way it was measured, since ways differ; "" where nothing must.
    """

    name: str
    title: str
    best: Best
    low: float
    high: float
    unit: str
    formula: str
    missing_rule: str
    licence: str
    source: str
    verified: bool
    parts: tuple[Part, ...]
    versions: tuple[str, ...]
    thresholds: tuple[Threshold, ...]
    recovery: tuple[tuple[str, float], ...]
    note: str = ""
    how: str = ""


@dataclass(frozen=True)
class PartAnswer:
    """Answers to one part: numbers in order with None for one left out, or their ``total`` over ``answered`` items."""

    values: tuple[float | None, ...] = ()
    total: float | None = None
    answered: int | None = None


@dataclass(frozen=True)
class Answers:
    """Answers to one score by part; ``version`` and ``moment`` where the score needs them, ``how`` it was measured."""

    score: str
    parts: tuple[tuple[str, PartAnswer], ...]
    version: str = ""
    moment: Moment | None = None
    how: str = ""


@dataclass(frozen=True)
class ScoreResult:
    """A score: ``value`` of ``low`` to ``top``, or None and ``why``; the points of each part; notes that limit it.

    ``how`` it was measured, "" where that was not told.
    """

    name: str
    title: str
    value: float | None
    low: float
    top: float
    unit: str
    best: Best
    parts: tuple[tuple[str, float | None], ...]
    why: str
    notes: tuple[str, ...]
    source: str
    verified: bool
    how: str = ""


@dataclass(frozen=True)
class Reached:
    """Whether one threshold was reached; None where it cannot be said, with the reason."""

    threshold: Threshold
    reached: bool | None
    why: str


@dataclass(frozen=True)
class Change:
    """Change of one score, better above 0; each threshold apart; the share of the possible improvement in percent."""

    name: str
    change: float | None
    reached: tuple[Reached, ...]
    possible_percent: float | None
    why: str


@dataclass(frozen=True)
class Relative:
    """A score as percent of the normal value of age and sex in one table; the absolute value stands beside it."""

    table: str
    absolute: float
    norm: float
    percent: float
    source: str
    verified: bool
