"""A share of repairs: its interval, and its bounds when some patients were lost."""

from math import sqrt

from cuffwright.case.errors import CaseError
from cuffwright.case.practice import Bounds
from cuffwright.case.quantity import Interval

COVERED = 0.95
"""Numerical choice: confidence of the interval whose width comes with the row of its standard errors."""


def wilson(count: int, of: int, errors: float) -> Interval:
    """The interval of ``count`` of ``of`` by Wilson's score, ``errors`` standard errors wide to each side.

    Raises
    ------
    CaseError
        When there is nothing to count, or more than there is.
    """
    if not 0 <= count <= of or of == 0:
        raise CaseError(f"{count} of {of} is no share; count again")
    share, wide = count / of, errors**2 / of
    middle = (share + wide / 2) / (1 + wide)
    half = errors / (1 + wide) * sqrt(share * (1 - share) / of + wide / (4 * of))
    return Interval(share, max(0.0, middle - half), min(1.0, middle + half), "-", COVERED)


def bounds(failed: int, lost: int, due: int) -> Bounds:
    """The share that failed with every lost patient whole, left out, and failed; raises CaseError on a wrong count."""
    if failed < 0 or lost < 0 or due < 1 or failed + lost > due:
        raise CaseError(f"{failed} failed and {lost} lost of {due} cannot be; count again")
    seen = due - lost
    return Bounds(failed / due, failed / seen if seen else None, (failed + lost) / due)
