"""A torn subscapularis: what turns the arm outwards or loads it inwards."""

from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said


def say(repaired: Repaired, _facts: Citing) -> Said:
    """A caution for a torn subscapularis; its state is named as missing where unknown."""
    sheet = repaired.sheet
    torn = True if "subscapularis" in sheet.tear.tendons else sheet.subscapularis.torn
    if torn is None:
        return Said(missing=("caution for the subscapularis not computed, needs subscapularis.torn",))
    if not torn:
        return Said()
    return Said(
        cautions=(
            "Subscapularis torn: passive turning outwards only to the surgeon's limit, no loaded turning inwards until"
            " the surgeon allows it.",
        )
    )
