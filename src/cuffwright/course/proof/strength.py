"""Strength, gap and stiffness of a rig, read off its draws or off its pull without scatter."""

import numpy as np

from cuffwright.course.proof.bench import Target
from cuffwright.course.proof.rig import Rig
from cuffwright.mechanics.curve import at_load
from cuffwright.mechanics.junction import junction_risk


def ultimate(rig: Rig, target: Target) -> float | None:
    """Mean ultimate load of the draws, N, capped at the tendon's own strength."""
    return float(np.minimum(rig.scattered(target.load).ultimate, rig.woven.cap).mean())


def gap_first(rig: Rig, target: Target) -> float | None:
    """Mean gap (mm) at the load of the first cycle, over the draws that reach it."""
    gap = rig.drawn(target.load).gap
    found = gap[np.isfinite(gap)]
    return float(found.mean()) if found.size else None


def stiffness(rig: Rig, target: Target) -> float | None:
    """Mean stiffness of the draws, N/mm, the sheet's own stretch included; None when most are too weak for it."""
    stiff = rig.scattered(target.load).stiffness
    found = stiff[np.isfinite(stiff)]
    return float(found.mean()) if found.size and 2 * found.size >= stiff.size else None


def yields(rig: Rig, _: Target) -> float | None:
    """Load (N) at the first hole to tear, without scatter."""
    return rig.ramp.yield_load


def footprint_strain(rig: Rig, target: Target) -> float | None:
    """Stretch of the tendon over the footprint per mm, margin to edge, at the load of the first cycle."""
    pulled = at_load(rig.ramp.curve.force, rig.ramp.curve.pull, target.load)
    start = rig.ramp.curve.pull[0]
    if pulled is None:
        return None
    sheet = rig.woven.sheet
    motion = sheet.flex @ (sheet.grip(rig.woven.net.at).T @ (pulled - start))
    along = motion[1::2].reshape(sheet.v.size, sheet.u.size).mean(axis=1)
    edge = rig.woven.strip.edge
    return float(np.interp(edge, sheet.v, along) - np.interp(0.0, sheet.v, along)) / edge


def first_in_tendon(rig: Rig, target: Target) -> float | None:
    """Share of draws whose first failure is a suture through the tendon."""
    return float((rig.scattered(target.load).kind == 0).mean())


def gap_front_over_back(rig: Rig, target: Target) -> float | None:
    """Gap at the front end of the tendon edge over that at its back end, the arm turned, without scatter."""
    found = rig.turned.gap_profile(target.load)
    if found is None:
        return None
    _, gap = found
    return float(gap[0] / gap[-1]) if gap[-1] > 0 else None


def junction(rig: Rig, _: Target) -> float | None:
    """1 when medial passes at the musculotendinous junction fail there more often than those at the safe distance."""
    layout, strip = rig.laid
    facts = rig.shared.facts
    left = strip.edge - rig.setup["medial"]
    near, far = (junction_risk(layout, strip, left + away, facts) for away in (0.0, facts.number("junction.safe")))
    return None if near is None or far is None else float(near.share > far.share) - float(near.share < far.share)
