"""Which way contact goes: with limb tension, tendon load, sliding, width of the suture, and from repair to repair."""

import numpy as np

from cuffwright.course.proof.bench import Bench, Target
from cuffwright.course.proof.direction import Rigs, all_alike, order, sign
from cuffwright.course.proof.rig import Rig
from cuffwright.mechanics.pressure.contact import ContactMap

LOADS = (15.0, 30.0, 45.0, 60.0)
"""Numerical choice: tendon loads (N) above the preload at which the slope of the contact force is taken."""

STRAIGHT = 0.99
"""Numerical choice: correlation with load from which a rise counts as linear."""

TAPE = 3.0
"""Numerical choice: width of tape over width of cord."""


def _numbers(found: ContactMap) -> tuple[float, float, float, float]:
    """Area, force, mean over the window and medial clamp pressure."""
    return found.area_above(), found.force, found.mean, float(np.mean(list(found.clamp.values())))


def contact_rises(rig: Rigs, _: Bench, target: Target) -> float | None:
    """Direction of area, force, pressure and medial pressure from the second to the first construct; 0 if mixed."""
    low, high = rig(target.over).pressed(target.load), rig(target.construct).pressed(target.load)
    if low is None or high is None:
        return None
    return all_alike([sign(b, a) for a, b in zip(_numbers(low), _numbers(high), strict=True)])


def tension_raises_contact(rig: Rigs, _: Bench, target: Target) -> float | None:
    """1 when twice the limb tension raises area, force and medial pressure, force by a larger share than area."""
    one = rig(target.construct)
    more = Rig(one.shared, one.construct, {**one.setup, "limb_share": 2 * one.setup["limb_share"]}, one.contested)
    low, high = one.pressed(0.0), more.pressed(0.0)
    if low is None or high is None:
        return None
    before, after = _numbers(low), _numbers(high)
    rises = all_alike([sign(b, a) for a, b in zip(before, after, strict=True)])
    return rises if after[1] / before[1] > after[0] / before[0] else 0.0


def _forces(rig: Rig) -> list[float] | None:
    maps = [rig.pressed(load) for load in LOADS]
    found = [m.force for m in maps if m is not None]
    return found if len(found) == len(maps) else None


def force_slope(rig: Rigs, _: Bench, target: Target) -> float | None:
    """1 when the contact force rises with tendon load on a straight line, -1 when it falls, 0 when it bends."""
    force = _forces(rig(target.construct))
    if force is None:
        return None
    linear = abs(float(np.corrcoef(LOADS, force)[0, 1])) >= STRAIGHT
    return sign(force[-1], force[0]) if linear else 0.0


def slope_compared(rig: Rigs, _: Bench, target: Target) -> float | None:
    """Whether the contact force rises faster with tendon load in the first construct than in the second."""
    pair = [_forces(rig(name)) for name in (target.construct, target.over)]
    slopes = [float(np.polyfit(LOADS, force, 1)[0]) for force in pair if force is not None]
    return sign(slopes[0], slopes[1]) if len(slopes) == len(pair) else None


def area_order(rig: Rigs, bench: Bench, target: Target) -> float | None:
    """1 when the ranked constructs of the bench, in their order, press ever more area."""
    maps = [rig(c.name).pressed(target.load) for c in bench.ranked(target)]
    return order([m.area_above() if m else None for m in maps])


def mean_order(rig: Rigs, bench: Bench, target: Target) -> float | None:
    """1 when the ranked constructs of the bench, in their order, press ever harder on the window."""
    maps = [rig(c.name).pressed(target.load) for c in bench.ranked(target)]
    return order([m.mean if m else None for m in maps])


def width_and_peak(rig: Rigs, _: Bench, target: Target) -> float | None:
    """Direction of the peak pressure from cord to tape: the rope three times as wide at equal tension."""
    cord = rig(target.construct)
    tape = Rig(cord.shared, cord.construct, {**cord.setup, "width_share": TAPE}, cord.contested)
    one, other = cord.pressed(0.0), tape.pressed(0.0)
    return None if one is None or other is None else sign(other.peak, one.peak)
