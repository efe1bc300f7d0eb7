"""Poor tissue, as felt in theatre."""

from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said


def say(repaired: Repaired, _facts: Citing) -> Said:
    """A caution for poor tissue; unknown tissue is named as missing."""
    tissue = repaired.sheet.tear.tissue
    if tissue is None:
        return Said(missing=("caution for poor tissue not computed, needs tear.tissue",))
    return Said(cautions=("Poor tissue was felt: the surgeon may go slower.",) if tissue == "poor" else ())
