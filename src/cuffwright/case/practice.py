"""What a practice's own repairs add up to: shares with bounds, limits round published targets, a running chart."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from cuffwright.case.quantity import Interval

Side = Literal["right", "left"]
Where = Literal["within both limits", "outside the inner limits", "outside both limits"]


@dataclass(frozen=True)
class Bounds:
    """Failures in all repairs: with every lost one whole, in those seen alone, with every lost one failed."""

    best: float
    complete: float | None
    worst: float


@dataclass(frozen=True)
class Funnel:
    """A published target, the limits round it for this many repairs, and where the own share lies.

    ``inner`` and ``outer`` hold 95 and 99.8 of 100 practices that are as the target; ``exact`` says that they are those
    of counts, not of the normal curve. ``z`` is how many standard errors the own share lies above the target.
    """

    name: str
    target: float
    inner: tuple[float, float]
    outer: tuple[float, float]
    exact: bool
    z: float
    where: Where
    people: str
    source: str


@dataclass(frozen=True)
class Entered:
    """One repair on the chart: its risk as used, whether it failed, its weight, score and difference after it.

    ``better`` is the score of the second chart, which looks for fewer failures; ``improved`` says that it signals.
    """

    patient: str
    side: Side
    operation_date: date
    risk: float
    failed: bool
    weight: float
    score: float
    difference: float
    signal: bool
    better: float
    improved: bool


@dataclass(frozen=True)
class RunLength:
    """Repairs until a signal on the own risks: with nothing wrong (a false alarm), and with the odds to be found."""

    limit: float
    false_alarm: float
    found: float


@dataclass(frozen=True)
class ShareReached:
    """How many patients reached one default limit of a score at their last visit; ``unknown`` had no answer."""

    score: str
    kind: str
    limit: float
    reached: int
    of: int
    unknown: int
    source: str


@dataclass(frozen=True)
class EventShare:
    """A kind of complication in the first half year, with its interval and the published share where there is one."""

    kind: str
    count: int
    of: int
    interval: Interval
    published: float | None
    source: str


@dataclass(frozen=True)
class Practice:
    """All of it on the day ``today``.

    ``repairs`` were done, ``waiting`` of them are younger than the time at which a repair may be called whole, ``due``
    are older, ``lost`` of those have no image that decides, ``failed`` were torn again. ``calibrated_on`` repairs moved
    the published risks by ``shift`` (log odds); 0 and None where none did. ``left_out`` says which repairs are not on
    the chart and what they need.
    """

    today: date
    repairs: int
    waiting: int
    due: int
    lost: int
    failed: int
    bounds: Bounds | None
    interval: Interval | None
    followed_share: float | None
    funnels: tuple[Funnel, ...]
    not_compared: str
    odds: float
    limit: float
    better_odds: float
    better_limit: float
    calibrated_on: int
    shift: float | None
    chart: tuple[Entered, ...]
    left_out: tuple[str, ...]
    runs: tuple[RunLength, ...]
    scores: tuple[ShareReached, ...]
    events: tuple[EventShare, ...]
    cautions: tuple[str, ...]
    general: tuple[str, ...]
    facts: tuple[str, ...]
    unverified: tuple[str, ...]
    version: str
    edition: str
