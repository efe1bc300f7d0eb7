"""Lift-off of the tendon from the bone: the base pushes, it never pulls.

Find a lift of the base, nowhere negative, with pressure p = p0 + K lift nowhere negative, and no place having
both. K is symmetric and not negative, so this is a quadratic programme; solved by projected conjugate gradients,
with K applied through cosines.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.pressure.field import Field

CLOSE = 1e-6
"""Numerical choice: largest pull left anywhere, over the peak pressure, at which the iteration stops."""
STEPS = 400
"""Numerical choice: most conjugate-gradient steps; what then is left is clipped and reported."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Settled:
    """Base ``pressure`` MPa and ``lift`` mm at the cell centres, both 0 or more.

    ``clipped`` is the pull that the iteration left and that was cut off, over the sum of the pressure;
    ``lifted`` the share of the strip's area that has left the bone; ``steps`` the iterations taken.
    """

    pressure: Floats
    lift: Floats
    clipped: float
    lifted: float
    steps: int


def settle(field: Field, bonded: Floats, steps: int = STEPS) -> Settled:
    """Base pressure with lift-off from the ``bonded`` one (MPa), in which the base could pull."""
    lift = np.zeros_like(bonded)
    pressure = bonded.copy()
    close = CLOSE * float(np.max(np.abs(bonded), initial=0.0))
    course, last = np.zeros_like(bonded), 0.0
    taken = 0
    while taken < steps:
        free = (lift > 0) | (pressure < 0)
        want = np.where(free, pressure, 0.0)
        if np.max(np.abs(want)) <= close:
            break
        norm = float(np.vdot(want, want))
        course = np.where(free, course * (norm / last if last else 0.0) - want, 0.0)
        answer = field.lifted(course)
        size = -float(np.vdot(want, course)) / float(np.vdot(course, answer))
        moved = np.maximum(lift + size * course, 0)
        hit = bool(np.any((lift + size * course < 0) & free))
        pressure = bonded + field.lifted(moved) if hit else pressure + size * answer
        newly = (pressure < 0) & ~free
        last = 0.0 if hit or newly.any() else norm
        lift = moved
        taken += 1
    return _closed(pressure, lift, taken)


def _closed(pressure: Floats, lift: Floats, steps: int) -> Settled:
    """Cut off the pull that is left and say how much it was."""
    held = np.where(lift > 0, np.minimum(pressure, 0), pressure)
    kept = np.maximum(np.where(lift > 0, 0, held), 0)
    total = float(kept.sum())
    cut = float(np.abs(pressure - kept).sum())
    return Settled(kept, lift, cut / total if total else 0.0, float(np.mean(lift > 0)), steps)
