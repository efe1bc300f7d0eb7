"""Lift-off of the tendon from the bone: the base pushes, it never pulls.

Find a lift of the base, nowhere negative, with pressure p = p0 + K lift nowhere negative, and no place having
both. K is symmetric and not negative, so this is a quadratic programme. The set of lifted cells is guessed and
corrected (primal-dual active set); on each set the lift comes from conjugate gradients confined to it, with K
applied and roughly inverted through cosines. Plain projected conjugate gradients stall where much tendon lies far
from any rope, because a long wave of lift costs next to nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.pressure.field import Field

CLOSE = 1e-5
"""Numerical choice: pull left at a cell, over the peak pressure, that counts as none."""
ROUNDS = 40
"""Numerical choice: most corrections of the set of lifted cells; what pull is then left is clipped and reported."""
STEPS = 200
"""Numerical choice: most conjugate-gradient steps on one set."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Settled:
    """Base ``pressure`` MPa and ``lift`` mm at the cell centres, both 0 or more.

    ``clipped`` is the pull that the solution left and that was cut off, over the sum of the pressure;
    ``lifted`` the share of the strip's area that has left the bone; ``rounds`` the corrections taken.
    """

    pressure: Floats
    lift: Floats
    clipped: float
    lifted: float
    rounds: int


def settle(field: Field, bonded: Floats, rounds: int = ROUNDS) -> Settled:
    """Base pressure with lift-off from the ``bonded`` one (MPa), in which the base could pull."""
    close = CLOSE * float(np.abs(bonded).max(initial=0.0))
    ease = _ease(field)
    lift, pressure = np.zeros_like(bonded), bonded
    off = bonded < -close
    taken = 0
    while taken < rounds and off.any():
        lift = _lift(field, ease, off, -bonded, lift, close / 4)
        pressure = bonded + field.lifted(lift)
        corrected = np.where(off, lift > 0, pressure < -close)
        taken += 1
        if np.array_equal(corrected, off):
            break
        off = corrected
    if (lift < 0).any():
        lift = np.maximum(lift, 0)
        pressure = bonded + field.lifted(lift)
    kept = np.maximum(pressure, 0)
    total = float(kept.sum())
    pull = float((kept - pressure).sum())
    return Settled(kept, lift, pull / total if total else 0.0, float(np.mean(lift > 0)), taken)


def _ease(field: Field) -> Floats:
    """Rough inverse of K per cosine; the mean, which costs nothing to lift, is treated as the longest wave."""
    return np.asarray(1 / np.maximum(field.lift, field.lift[field.lift > 0].min()))


def _lift(field: Field, ease: Floats, off: NDArray[np.bool_], want: Floats, guess: Floats, close: float) -> Floats:
    """Lift on the cells ``off`` that raises their pressure by ``want``, to ``close`` MPa."""
    lift = np.where(off, guess, 0.0)
    left = np.where(off, want - field.lifted(lift), 0.0)
    course, last = np.zeros_like(lift), 0.0
    for _ in range(STEPS):
        if np.abs(left).max() <= close:
            break
        eased = np.where(off, field.values(ease * field.coefficients(left)), 0.0)
        product = float(np.vdot(left, eased))
        course = eased + (product / last if last else 0.0) * course
        answer = np.where(off, field.lifted(course), 0.0)
        size = product / float(np.vdot(course, answer))
        lift = lift + size * course
        left = left - size * answer
        last = product
    return lift
