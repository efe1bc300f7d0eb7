"""A sheet as the compiled kernels read it, and what its sites feel of it."""

from cuffwright.mechanics.kernels.draws import Plate
from cuffwright.mechanics.weave import Woven


def plate(woven: Woven) -> Plate:
    """The arrays of a threaded repair's sheet."""
    sheet = woven.sheet
    return Plate(sheet.flex, sheet.edge, sheet.solid, sheet.ride, sheet.bulk, sheet.lead, woven.around.free)
