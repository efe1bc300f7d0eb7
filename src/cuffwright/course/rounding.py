"""Results are rounded once, here, so that page, interface, command line and print carry the same digits."""

import math

from cuffwright.case.quantity import Interval

PLACES = {"N": 1, "mm": 2, "N/mm": 1, "MPa": 3, "-": 3, "mm2": 1, "%": 1}
"""Numerical choice: decimals kept per unit; finer than any spread of a result."""


def rounded(value: float, unit: str) -> float:
    """The value with the decimals of its unit; never minus zero."""
    return round(float(value), PLACES[unit]) + 0.0


def newtons(value: float) -> float:
    """A force, N."""
    return rounded(value, "N")


def part(value: float) -> float:
    """A share, 0 to 1."""
    return rounded(value, "-")


def interval(found: Interval) -> Interval:
    """The interval with the decimals of its unit; an infinite end (not reached) stays out: see :func:`bounded`."""
    middle, low, high = (rounded(x, found.unit) for x in (found.middle, found.low, found.high))
    return Interval(middle, low, high, found.unit, found.share)


def bounded(found: Interval | None) -> Interval | None:
    """The interval rounded, or None where it is unknown or has an end that is not reached."""
    if found is None or not all(math.isfinite(x) for x in (found.middle, found.low, found.high)):
        return None
    return interval(found)
