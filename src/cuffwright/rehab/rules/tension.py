"""A tendon under tension at rest: the sling's position matters."""

from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said


def say(repaired: Repaired, _facts: Citing) -> Said:
    """A caution where the torn edge was hard to bring to bone; without a hold result it is not computed."""
    body = repaired.hold.body if repaired.hold else None
    if body is None or body.reduction is None:
        return Said(missing=("tension at rest not computed, needs what the repair holds and tear.retraction_mm",))
    if body.reduction.verdict == "reducible":
        return Said()
    return Said(cautions=(f"Tension: {body.reduction.words}. The surgeon chooses the sling's position.",))
