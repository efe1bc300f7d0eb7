"""Widen a result by the error of the model, as measured on rows it was not fitted to."""

import math
from dataclasses import dataclass, replace

from scipy.special import ndtri

from cuffwright.case.contact import Contact
from cuffwright.case.fact import Citing
from cuffwright.case.hold import HoldResult, ScenarioHold
from cuffwright.case.quantity import Interval
from cuffwright.course.rounding import interval, part


@dataclass(frozen=True)
class Doubt:
    """Standard deviation of ln(model / truth) by kind of result.

    ``contact`` holds for a laboratory like the one the model was fitted to, ``laboratory`` for any.
    """

    ultimate: float
    gap: float
    stiffness: float
    contact: float
    laboratory: float

    @classmethod
    def from_facts(cls, book: Citing) -> "Doubt":
        """Read the errors from their rows; raises EvidenceError when one is missing."""
        n = book.number
        return cls(
            n("model.error.ultimate"),
            n("model.error.gap"),
            n("model.error.stiffness"),
            n("model.error.contact"),
            n("model.error.contact.laboratory"),
        )


def widened(found: Interval, error: float) -> Interval:
    """The interval with the model's ``error`` (SD of its logarithm) joined to its spread; the middle stays.

    Spread and error are independent, so their distances from the middle add as squares, below and above apart. A
    result that cannot be negative stays so; an interval never gets narrower.
    """
    down, up = reach(found.middle, error, found.share)
    low = found.middle - math.hypot(found.middle - found.low, down)
    high = found.middle + math.hypot(found.high - found.middle, up)
    return Interval(found.middle, max(low, min(0.0, found.low)), high, found.unit, found.share)


def doubted(value: float, unit: str, error: float, share: float, most: float = math.inf) -> Interval:
    """A result without scatter, such as a contact area, as the interval its ``error`` alone gives.

    ``share`` of the cases lie in it; ``most`` bounds a result that has an upper end of its own, such as a share of 1.
    """
    down, up = reach(value, error, share)
    return Interval(value, value - down, min(most, value + up), unit, share)


def reach(value: float, error: float, share: float) -> tuple[float, float]:
    """How far below and above ``value`` the middle ``share`` of a lognormal of SD ``error`` lies."""
    deviates = float(ndtri(0.5 + share / 2))
    size = abs(value)
    return size * -math.expm1(-deviates * error), size * math.expm1(deviates * error)


def widened_scenario(one: ScenarioHold, doubt: Doubt) -> ScenarioHold:
    """The scenario with gap and stiffness widened by the model's error; the ultimate holds it already."""
    gap = interval(widened(one.gap, doubt.gap)) if one.gap else None
    stiffness = interval(widened(one.stiffness, doubt.stiffness)) if one.stiffness else None
    return replace(one, gap=gap, stiffness=stiffness)


def doubted_contact(contact: Contact, doubt: Doubt, share: float, own: float = 0.0) -> Contact:
    """The contact with its pressed share as an interval that holds ``share`` of the cases; never below 0 or above 1.

    ``own`` is the SD of the pressed share from the measured tear width.
    """
    middle, way = contact.area_share, own * float(ndtri(0.5 + share / 2))
    found = widened(Interval(middle, middle - way, middle + way, "-", share), doubt.contact)
    held = Interval(middle, max(0.0, found.low), min(1.0, found.high), "-", share)
    return replace(contact, area_interval=interval(held), area_sd=part(own))


def doubted_area(found: HoldResult, doubt: Doubt, share: float, own: float) -> HoldResult:
    """The answer with its pressed shares, as tied and under load, as intervals; ``share`` and ``own`` as before."""
    contact, loaded = found.contact, found.contact_loaded
    return replace(
        found,
        contact=doubted_contact(contact, doubt, share, own),
        contact_loaded=loaded and doubted_contact(loaded, doubt, share, own),
    )
