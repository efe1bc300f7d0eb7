"""Results as intervals: middle, low and high, with unit and the facts they rest on."""

from dataclasses import dataclass
from typing import Literal

Severity = Literal["note", "caution", "stop"]


@dataclass(frozen=True)
class Interval:
    """Middle, low and high of a result in ``unit``; ``share`` of the draws lie between low and high."""

    middle: float
    low: float
    high: float
    unit: str
    share: float


@dataclass(frozen=True)
class Caution:
    """A warning that stands beside what it limits: a code, a sentence, the place it concerns, its source key."""

    code: str
    text: str
    where: str = ""
    severity: Severity = "caution"
    fact: str = ""
