"""A sheet as the compiled kernels read it, and what its sites feel of it."""

import numpy as np

from cuffwright.mechanics.kernels.draws import Plate
from cuffwright.mechanics.weave import Woven


def plate(woven: Woven) -> Plate:
    """The arrays of a threaded repair's sheet."""
    sheet = woven.sheet
    ride = np.ascontiguousarray(sheet.ride)  # one layout for every sheet, or the kernels are compiled anew for some
    return Plate(sheet.flex, sheet.edge, sheet.solid, ride, sheet.bulk, sheet.lead, woven.around.free)
