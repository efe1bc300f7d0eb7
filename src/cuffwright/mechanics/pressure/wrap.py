"""The tendon presses on the bone it is pulled round: force per width times curvature, N_vv kappa_v."""

from collections.abc import Callable

import numpy as np
from scipy.special import ndtr

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.net import Floats, Net
from cuffwright.mechanics.pressure.field import Grid


def section_force(net: Net, force: float, pull: Floats, v: Floats, patch: float) -> Floats:
    """Force (N) that the tendon still carries along its fibres past each ``v`` (mm).

    ``force`` N pulls at the muscle end; every site takes over its part of ``pull`` (2n) N, spread over a bell of
    ``patch`` mm, so that lateral of the last suture nothing is left.
    """
    along = pull[1::2]
    medial_of = bell_share(v[:, None] - net.at[:, 1], patch)
    carried: Floats = force - medial_of @ along
    return carried


def bell_share(distance: Floats, patch: float) -> Floats:
    """Share of a bell curve of standard deviation ``patch`` mm that lies within ``distance`` mm."""
    share: Floats = ndtr(distance / patch)
    return share


def wrap_pressure(grid: Grid, carried: Floats, curvature: Callable[[Floats], Floats]) -> Floats:
    """Pressure (MPa, cells of u x v) of a tendon that carries ``carried`` (N) at each of the grid's v.

    ``curvature`` gives the bone's, along the fibres, in 1/mm at each v; a hollow presses nothing.

    Raises
    ------
    CaseError
        When ``carried`` does not fit the grid.
    """
    if carried.shape != grid.v.shape:
        raise CaseError(f"{carried.size} section forces do not fit {grid.v.size} rows of pressure cells")
    along = np.maximum(carried, 0.0) / grid.width * np.maximum(curvature(grid.v), 0.0)
    pressure: Floats = np.broadcast_to(along, (grid.count_u, grid.count_v)).copy()
    return pressure
