"""What repeated pulls do to a rig."""

import math

import numpy as np

from cuffwright.course.proof.bench import Target
from cuffwright.course.proof.rig import Rig
from cuffwright.mechanics.curve import at_load


def gap_cycled(rig: Rig, target: Target) -> float | None:
    """Gap (mm) after cycling, without scatter."""
    return rig.cycled(target.load).gap(target.count)


def elongation(rig: Rig, target: Target) -> float | None:
    """Gap after cycling and the stretch of the sheet medial of the row at the load, mm."""
    gap, curve = rig.cycled(target.load).gap(target.count), rig.ramp.curve
    way = at_load(curve.force, curve.clamp - curve.clamp[0] - curve.edge, target.load)
    return None if gap is None or way is None else gap + float(way)


def cycles_to_gap(rig: Rig, target: Target) -> float | None:
    """Cycles at which the gap reaches ``target.gap`` mm, on the powers of the count.

    A repair that gives way first counts at the cycle it did not hold; None when it still holds at the last one.
    """
    found = rig.cycled(target.load)
    held = [(n, g) for n, g in zip(found.counts, found.gaps, strict=True) if g is not None]
    if not held or held[0][1] >= target.gap:
        return 1.0
    if held[-1][1] < target.gap:
        return float(found.counts[len(held)]) if found.lost else None
    return float(np.exp(np.interp(target.gap, [g for _, g in held], [math.log(n) for n, _ in held])))
