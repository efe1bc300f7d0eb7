"""The pull of a loaded tendon round its bone, as the contact map takes it."""

from collections.abc import Callable

from cuffwright.mechanics.curve import at_load
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.wrap import section_force, wrap_pressure
from cuffwright.mechanics.pull import Ramp
from cuffwright.mechanics.sheet import PATCH

Wrap = Callable[[Grid], Floats]
"""Pressure (MPa, cells of u x v) of the tendon's own pull on the bone, for a grid."""


def wrap_at(ramp: Ramp, load: float, curvature: Callable[[Floats], Floats]) -> Wrap | None:
    """What the tendon presses by itself at ``load`` (N) on a bone of ``curvature`` (1/mm at each v, mm).

    Every stitch takes its part of the pull away, so that lateral of the last one nothing presses. None where the
    repair does not reach the load.
    """
    pulls = at_load(ramp.curve.force, ramp.curve.pull, load)
    if pulls is None:
        return None

    def wrapped(grid: Grid) -> Floats:
        return wrap_pressure(grid, section_force(ramp.woven.net, load, pulls, grid.v, PATCH), curvature)

    return wrapped
