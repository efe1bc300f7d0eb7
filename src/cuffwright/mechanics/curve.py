"""Read single numbers off a pulling curve: load at a gap, stiffness, the state at a load."""

import numpy as np

from cuffwright.mechanics.net import Floats

STIFFNESS_FROM = 50.0
"""Numerical choice: lower load of the secant stiffness, N."""

STIFFNESS_TO = 0.6
"""Numerical choice: upper end of the secant stiffness, share of the ultimate."""


def reached(force: Floats, load: float) -> tuple[int, float] | None:
    """Row before the first crossing of ``load`` (N) and the share of the step to it, or None."""
    above = np.flatnonzero(force >= load)
    if above.size == 0:
        return None
    row = int(above[0])
    if row == 0:
        return 0, 0.0
    return row - 1, float((load - force[row - 1]) / (force[row] - force[row - 1]))


def at_load(force: Floats, values: Floats, load: float) -> Floats | None:
    """``values`` (s, ...) when ``force`` (s) N first reaches ``load``, or None when it never does."""
    found = reached(force, load)
    if found is None:
        return None
    row, share = found
    step: Floats = values[row] + share * (values[min(row + 1, len(values) - 1)] - values[row])
    return step


def secant(force: Floats, clamp: Floats) -> float | None:
    """Stiffness (N/mm) between 50 N and 0.6 of the ultimate, or None when the ultimate is too low for it."""
    high = STIFFNESS_TO * float(force.max())
    start, end = at_load(force, clamp, STIFFNESS_FROM), at_load(force, clamp, high)
    if start is None or end is None or high <= STIFFNESS_FROM:
        return None
    return float((high - STIFFNESS_FROM) / (end - start))
