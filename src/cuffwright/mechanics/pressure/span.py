"""One stretch of rope on top of the tendon, from hole to hole or from hole to edge."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import CaseError

SpanKind = Literal["bridge", "mattress", "simple"]


@dataclass(frozen=True)
class Span:
    """A straight stretch of rope, in sheet mm (u from the front of the strip, v from the articular margin).

    ``tension`` in N; ``start_factor`` and ``end_factor`` are the share of the tension that pulls the end down
    (the sine of the angle at which the rope leaves: 1 for a leg going straight down or looping round the edge);
    ``curvature`` of the footprint along the rope, 1/mm, positive where the rope presses; ``spread`` in mm,
    standard deviation of the rope's pressure across its course.

    Raises
    ------
    CaseError
        At birth, when the span has no length, or its tension or an end factor is impossible.
    """

    name: str
    kind: SpanKind
    start: tuple[float, float]
    end: tuple[float, float]
    tension: float
    start_factor: float
    end_factor: float
    curvature: float
    spread: float

    def __post_init__(self) -> None:
        if not self.length > 0 or not math.isfinite(self.length):
            raise CaseError(f"limb {self.name} starts and ends at one point of the tendon; move one of its ends")
        if not (math.isfinite(self.tension) and self.tension >= 0):
            raise CaseError(f"limb {self.name} has a tension of {self.tension} N; give 0 or more")
        if not (0 <= self.start_factor <= 1 and 0 <= self.end_factor <= 1):
            raise CaseError(f"limb {self.name} leaves the tendon steeper than straight down; give factors 0 to 1")
        if not (math.isfinite(self.curvature) and self.spread > 0):
            raise CaseError(f"limb {self.name} has no curvature or no width; give both in mm")

    @property
    def length(self) -> float:
        """Length over the tendon, mm."""
        return math.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True)
class SpanNodes:
    """All spans cut into nodes.

    ``u``, ``v`` mm per node; ``span`` its span's number; ``along`` mm from the span's start; ``attached`` true
    at the ends, where the rope is held by its hole or by the edge and cannot lift.
    """

    u: NDArray[np.float64]
    v: NDArray[np.float64]
    span: NDArray[np.int64]
    along: NDArray[np.float64]
    attached: NDArray[np.bool_]


def cut(spans: Sequence[Span], spacing: float) -> SpanNodes:
    """Cut ``spans`` into nodes about ``spacing`` mm apart, both ends included."""
    u, v, number, along, attached = [], [], [], [], []
    for i, span in enumerate(spans):
        count = max(2, math.ceil(span.length / spacing - 1 / 2) + 1)
        share = np.linspace(0, 1, count)
        u.append(span.start[0] + share * (span.end[0] - span.start[0]))
        v.append(span.start[1] + share * (span.end[1] - span.start[1]))
        number.append(np.full(count, i, np.int64))
        along.append(share * span.length)
        attached.append((share == 0) | (share == 1))
    return SpanNodes(*(np.concatenate(part) for part in (u, v, number, along, attached)))
