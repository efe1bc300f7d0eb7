"""Pressure of the tendon's own pull round the bone: hoop formula, statics, and the map that adds it."""

import numpy as np
import pytest

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.wrap import section_force, wrap_pressure
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.sheet import PATCH
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, double_row, laboratory
from tests.mechanics.pressure.setup import FILM_GRID, FILM_WINDOW, film_row, mapped


def round_bone(radius):
    """A bone of one curvature."""
    return lambda v: np.full(v.size, 1.0 / radius)


@pytest.mark.law
def test_pressure_is_the_hoop_formula():
    """100 N over 20 mm of tendon round 25 mm of radius press 0.2 MPa: T / (R w)."""
    grid = Grid.over(20.0, 12.0)
    found = wrap_pressure(grid, np.full(grid.v.size, 100.0), round_bone(25.0))
    assert found == pytest.approx(np.full((grid.count_u, grid.count_v), 100.0 / (25.0 * 20.0)))
    assert wrap_pressure(grid, np.full(grid.v.size, 100.0), lambda v: np.full(v.size, -0.1)).max() == 0.0
    with pytest.raises(CaseError, match="do not fit"):
        wrap_pressure(grid, np.zeros(3), round_bone(25.0))


@pytest.mark.law
def test_section_force_falls_from_the_pull_to_nothing():
    """Statics: medial of all sutures the tendon carries the whole pull, lateral of them (no friction) nothing."""
    woven = weave(double_row(), STRIP, laboratory())
    ramp = pull(woven)
    row = 6
    carried = section_force(
        woven.net, float(ramp.curve.force[row]), ramp.curve.pull[row], np.array([-15.0, 2.5, 30.0]), PATCH
    )
    assert carried[0] == pytest.approx(ramp.curve.force[row], rel=1e-6)
    assert carried[2] == pytest.approx(0.0, abs=1e-6)
    assert 0.0 < carried[1] < carried[0]


def test_wrap_adds_to_the_map_linearly_in_load():
    """Contact force rises in a straight line with tendon load, 0 to 60 N (published direction), by the wrap's share."""
    spans = film_row()
    forces = []
    for load in (0.0, 20.0, 40.0, 60.0):
        wrap = wrap_pressure(FILM_GRID, np.full(FILM_GRID.v.size, load), round_bone(25.0))
        forces.append(mapped(spans, FILM_GRID, FILM_WINDOW, wrap=wrap).force)
    steps = np.diff(forces)
    assert (steps > 0.0).all()
    assert steps == pytest.approx(np.full(3, 20.0 / (25.0 * 20.0) * FILM_WINDOW.area), rel=0.05)
