"""What the repair bears at rest in each position of the arm: passive tension, pulled the way the muscle runs."""

import numpy as np

from cuffwright.case.body import ArmLoad
from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Interval
from cuffwright.course.contact import press, wall_degrees
from cuffwright.course.prepared import Prepared, Scenario
from cuffwright.course.pulling import missing_tissue, on_bone
from cuffwright.course.reducing import Pull, tension
from cuffwright.course.rounding import interval, part
from cuffwright.course.verdict import member_in_words
from cuffwright.course.wrapping import wrap_at
from cuffwright.mechanics.curve import at_load
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.pull import Ramp, Shares, pull
from cuffwright.mechanics.sheet import CLAMP
from cuffwright.mechanics.surroundings import Surroundings, side_hold, tendon_regions
from cuffwright.mechanics.weave import weave

POSITIONS = ((0.0, 0.0), (30.0, 0.0), (60.0, 0.0), (0.0, 30.0), (0.0, -30.0))
"""Numerical choice: arm positions shown, abduction and outward rotation in degrees."""


def arm_loads(
    prepared: Prepared, layout: Layout, scenario: Scenario, pulled: Pull, facts: Citing, seed: int
) -> tuple[ArmLoad, ...]:
    """What the repair bears at rest in each arm position."""
    ramps: dict[float, Ramp] = {}
    found = []
    for abduction, rotation in POSITIONS:
        if rotation not in ramps:
            ramps[rotation] = _ramp(prepared, layout, scenario, around(prepared, layout, facts, rotation, held=False))
        found.append(_at_rest(prepared, layout, ramps[rotation], tension(pulled, abduction, seed), abduction, rotation))
    return tuple(found)


def carried_share(prepared: Prepared, layout: Layout, scenario: Scenario, facts: Citing) -> float:
    """Share of each newton, from the pull under which it was tied to the stated load, that the sutures carry."""
    sides = around(prepared, layout, facts, 0.0, held=True)
    if not (sides.front or sides.back):
        return 1.0
    curve = _ramp(prepared, layout, scenario, sides).curve
    low, high = float(curve.force[0]), min(facts.number("rule.load.stated"), float(curve.force.max()))
    at_low, at_high = at_load(curve.force, curve.pull, low), at_load(curve.force, curve.pull, high)
    if at_low is None or at_high is None or high <= low:
        return 1.0
    return part(float(np.clip((at_high - at_low)[1::2].sum() / (high - low), 0.0, 1.0)))


def around(prepared: Prepared, layout: Layout, facts: Citing, pull_degrees: float, *, held: bool) -> Surroundings:
    """The tendon in the body: uneven, its muscle end free; with intact neighbours where ``held`` and there are any.

    Outward rotation of the arm turns the footprint under the muscle, so that the muscle pulls backwards on it by as
    much. In front the neighbour is the supraspinatus before the tear, behind it what the tear leaves of the cuff.
    """
    strip, elastic = layout.on(prepared.strip), prepared.scenarios[prepared.middle].parameters.elastic
    stiff = side_hold(elastic.along, elastic.shear, strip.thickness, strip.edge - CLAMP)
    front = stiff if held and strip.front > 0 else 0.0
    back = stiff if held and strip.front + strip.width < prepared.bed.length else 0.0
    return Surroundings(
        front=front,
        back=back,
        regions=tendon_regions(facts, strip.front, strip.width),
        missing=missing_tissue(prepared, layout),
        pull_degrees=pull_degrees,
        free=True,
    )


def _ramp(prepared: Prepared, layout: Layout, scenario: Scenario, sides: Surroundings) -> Ramp:
    parameters = on_bone(scenario.parameters, wall_degrees(prepared, layout))
    return pull(weave(layout, prepared.strip, parameters, sides), plain=prepared.plain)


def _at_rest(
    prepared: Prepared,
    layout: Layout,
    alone: Ramp,
    loads: Interval,
    abduction: float,
    rotation: float,
) -> ArmLoad:
    shares = [alone.shares(load) for load in (loads.middle, loads.low, loads.high)]
    middle = shares[0]
    kind, name, _ = _most_used(middle) if middle else ("hole", "", 0.0)
    return ArmLoad(
        abduction_degrees=abduction,
        rotation_degrees=rotation,
        tension=loads,
        gap=_over([s.gap if s else None for s in shares], "mm", loads.share),
        used=_over([_most_used(s)[2] if s else None for s in shares], "-", loads.share),
        most_used=member_in_words(kind, name) if middle else "",
        contact_area_share=_pressed(prepared, layout, alone, loads.middle) if middle else None,
    )


def _most_used(shares: Shares) -> tuple[str, str, float]:
    all_used = [("limb", n, x) for n, x in shares.limbs_used.items()]
    all_used += [("hole", n, x) for n, x in shares.holes_used.items()]
    all_used += [("anchor", n, x) for n, x in shares.anchors_used.items()]
    return max(all_used, key=lambda one: one[2])


def _over(values: list[float | None], unit: str, share: float) -> Interval | None:
    """Middle, low and high of a result that rises with the load; None where one load is not reached."""
    known = [value for value in values if value is not None]
    if len(known) < len(values):
        return None
    return interval(Interval(known[0], min(known), max(known), unit, share))


def _pressed(prepared: Prepared, layout: Layout, ramp: Ramp, load: float) -> float | None:
    """Pressed share of the footprint under the tension, the tendon's pull round the bone added."""
    curve = ramp.curve
    limbs = at_load(curve.force, curve.tension, load)
    if limbs is None:
        return None
    strip = layout.on(prepared.strip)
    middle = strip.front + strip.width / 2

    def curvature(v: Floats) -> Floats:
        bent: Floats = prepared.chart.curvature(np.full(v.shape, middle), np.maximum(v, 0.0))
        return bent

    tensions = dict(zip(ramp.woven.limbs, limbs.tolist(), strict=True))
    try:
        found = press(prepared, layout, tensions, wrap_at(ramp, load, curvature))
    except OutsideValidity:
        return None
    return part(found.share_above())
