"""Limits round a target for a number of repairs: by the normal curve, or exactly by the binomial with interpolation."""

from math import exp, lgamma, log, sqrt

from cuffwright.case.errors import CaseError


def normal_limits(target: float, of: int, errors: float) -> tuple[float, float]:
    """The target plus and minus so many standard errors, within 0 and 1."""
    half = errors * sqrt(target * (1 - target) / of)
    return max(0.0, target - half), min(1.0, target + half)


def exact_limit(target: float, of: int, quantile: float) -> float:
    """The share below which ``quantile`` of the counts lie, interpolated between whole counts.

    With F the binomial of ``of`` repairs at ``target`` and r the least count whose F reaches the quantile, the limit is
    (r - a) / of with a = (F(r) - quantile) / (F(r) - F(r - 1)).
    """
    below = 0.0
    for count in range(of + 1):
        upto = below + _chance(count, of, target)
        if upto >= quantile:
            return max(0.0, (count - (upto - quantile) / (upto - below)) / of)
        below = upto
    return 1.0


def exact_limits(target: float, of: int, tail: float) -> tuple[float, float]:
    """Both limits with ``tail`` of the counts beyond each."""
    return exact_limit(target, of, tail), exact_limit(target, of, 1 - tail)


def errors_above(share: float, of: int, target: float) -> float:
    """How many standard errors of the target a share lies above it; raises CaseError where the target has none."""
    if not 0 < target < 1:
        raise CaseError(f"a target of {target:g} has no limits; give a share between 0 and 1")
    return (share - target) / sqrt(target * (1 - target) / of)


def _chance(count: int, of: int, target: float) -> float:
    ways = lgamma(of + 1) - lgamma(count + 1) - lgamma(of - count + 1)
    return exp(ways + count * log(target) + (of - count) * log(1 - target))
