"""Checks over a whole bench: 1 where ours goes the published way, -1 the other way, 0 neither; or a slope."""

from collections.abc import Callable

from cuffwright.course.proof import contact_trends
from cuffwright.course.proof.bench import Bench, Target
from cuffwright.course.proof.direction import Rigs, sign, slope
from cuffwright.course.proof.quantities import READINGS
from cuffwright.course.proof.rig import Rig
from cuffwright.course.proof.strength import ultimate
from cuffwright.mechanics.pull import Shares

Trend = Callable[[Rigs, Bench, Target], float | None]

PER_LIMB = "-per-limb"
"""Ending of a reading whose slope over the limbs is asked."""


def medial_most_loaded(rig: Rigs, bench: Bench, target: Target) -> float | None:
    """1 when in every two-row construct of the bench the hole that carries most lies in the medial row, else -1."""
    shares: list[tuple[Rig, Shares | None]] = [
        (rig(c.name), rig(c.name).ramp.shares(target.load)) for c in bench.constructs
    ]
    if any(found is None for _, found in shares):
        return None
    medial = [
        one.laid[0].hole(max(found.holes, key=found.holes.__getitem__)).v == one.setup["medial"]
        for one, found in shares
        if found is not None
    ]
    return 1.0 if all(medial) else -1.0


def per_limb(rig: Rigs, bench: Bench, target: Target) -> float | None:
    """Slope of a reading over the passages through the tendon, least squares over the constructs of the bench."""
    reading = READINGS[target.quantity.removesuffix(PER_LIMB)]
    pairs = [(c.holes, reading(rig(c.name), target)) for c in bench.constructs]
    known = [(n, v) for n, v in pairs if v is not None]
    return slope(known) if len(known) == len(pairs) else None


def ultimate_rises(rig: Rigs, _: Bench, target: Target) -> float | None:
    """Direction of the mean ultimate from the second to the first construct."""
    pair = [ultimate(rig(name), target) for name in (target.over, target.construct)]
    before, after = pair
    return None if before is None or after is None else sign(after, before)


TRENDS: dict[str, Trend] = {
    "contact-rises": contact_trends.contact_rises,
    "tension-raises-contact": contact_trends.tension_raises_contact,
    "force-slope": contact_trends.force_slope,
    "slope-compared": contact_trends.slope_compared,
    "area-order": contact_trends.area_order,
    "mean-order": contact_trends.mean_order,
    "medial-most-loaded": medial_most_loaded,
    "ultimate-rises": ultimate_rises,
    "width-and-peak": contact_trends.width_and_peak,
    "ultimate-per-limb": per_limb,
    "gap-per-limb": per_limb,
}
"""Checks over a whole bench, by the name a bench file uses."""
