"""Work on the biceps: what was done is not in a plan, so it is asked."""

from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said


def say(repaired: Repaired, _facts: Citing) -> Said:
    """A caution where the biceps is torn or unstable; where it is unknown that is named."""
    biceps = repaired.sheet.biceps
    torn = biceps.torn_share is not None and biceps.torn_share.value > 0
    if torn or biceps.unstable:
        words = (
            "Biceps torn or unstable: if it was fixed anew, no loaded bending of the elbow until the surgeon allows it."
        )
        return Said(cautions=(words,))
    if biceps.torn_share is None or biceps.unstable is None:
        return Said(missing=("caution for the biceps not computed, needs biceps.torn_share and biceps.unstable",))
    return Said()
