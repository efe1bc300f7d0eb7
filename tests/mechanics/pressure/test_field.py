"""The cosine field: transforms, conservation of force, linearity, and the indentation matrix."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.fft import dctn, idctn

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.kernels.pressure import gather
from cuffwright.mechanics.pressure.field import Grid, at_modes, cosines, gaussian, weights
from cuffwright.mechanics.pressure.indentation import gather_plain
from tests.mechanics.pressure.setup import SHELF, THREE_GRID, layer

pytestmark = pytest.mark.law
FIELD = SHELF.field_of(THREE_GRID, layer())
loads = st.lists(st.tuples(st.floats(0, 16), st.floats(-8, 10), st.floats(0, 10)), min_size=1, max_size=8)


def pressed(rows, spread=0.5):
    u, v, f = (np.array(c) for c in zip(*rows, strict=True))
    return FIELD.pressed(FIELD.places(u, v), f, np.full(f.size, spread))


@pytest.mark.req("REQ-029")
@settings(max_examples=25)
@given(loads)
def test_force_is_conserved(rows):
    """Sum of pressure times cell area = sum of the forces, to 1e-9 N, wherever they act (equilibrium)."""
    total = pressed(rows).sum() * THREE_GRID.cell_area
    assert total == pytest.approx(sum(f for _, _, f in rows), abs=1e-9)


@settings(max_examples=15)
@given(loads, loads)
def test_pressures_of_loads_add(one, other):
    """The bonded base pressure of all loads is the sum of theirs (linear elasticity)."""
    assert pressed(one + other) == pytest.approx(pressed(one) + pressed(other), abs=1e-12)


def test_map_equals_a_discrete_cosine_transform():
    """Gaussians painted on the grid and sent through scipy's transform give the same pressure within 0.2 %."""
    grid, spread, (u, v, force) = THREE_GRID, 1.0, (6.3, 8.7, 5.0)
    painted = np.zeros((grid.count_u, grid.count_v))
    for mirror_u in (u, -u, 2 * grid.width - u):
        for mirror_v in (v, 2 * grid.edge - v, 2 * grid.medial - v):
            square = (grid.u[:, None] - mirror_u) ** 2 + (grid.v - mirror_v) ** 2
            painted += force * np.exp(-square / 2 / spread**2) / (2 * np.pi * spread**2)
    expected = idctn(FIELD.base * dctn(painted, type=2), type=2)
    assert pressed([(u, v, force)], spread) == pytest.approx(expected, abs=2e-3 * expected.max())


def test_transforms_undo_each_other():
    """Coefficients of a field give the field back."""
    values = np.random.default_rng(1).normal(size=(32, 36))
    assert FIELD.values(FIELD.coefficients(values)) == pytest.approx(values, abs=1e-12)
    assert FIELD.coefficients(values) == pytest.approx(
        dctn(values, type=2) * np.outer(weights(32, 64.0), weights(36, 72.0)), abs=1e-12
    )


def test_mirrored_load_gives_the_mirrored_map():
    """Front and back are alike: a load mirrored in the middle of the strip mirrors the pressure."""
    assert pressed([(3.0, 4.0, 2.0)]) == pytest.approx(pressed([(13.0, 4.0, 2.0)])[::-1], abs=1e-12)


def random_points(count):
    rng = np.random.default_rng(7)
    return rng.uniform(0, 16, count), rng.uniform(-8, 10, count)


@pytest.mark.req("REQ-028")
def test_compiled_and_plain_gathering_agree():
    """The compiled kernel and its plain twin give the same matrix to 1e-12."""
    u, v = random_points(40)
    table = SHELF.indentation_of(THREE_GRID, layer(), True).table(0.25)
    arguments = (u, v + 8, u[:9], v[:9] + 8, table, 16.0, 18.0)
    assert gather(*arguments) == pytest.approx(gather_plain(*arguments), abs=1e-12)


def test_indentation_matrix_equals_the_cosine_sum():
    """The tabulated matrix is symmetric and within 1 % of its largest entry of the double cosine sum."""
    u, v = random_points(12)
    soft = SHELF.indentation_of(THREE_GRID, layer(), True).between(u, v, np.full(12, 0.5))
    modes_u, modes_v = 96, 108
    spectrum = at_modes(THREE_GRID, layer(), SHELF.layers, modes_u, modes_v).indentation
    spectrum = spectrum * gaussian(THREE_GRID, modes_u, modes_v, 0.5)
    spectrum = spectrum * np.outer(weights(modes_u, 16.0), weights(modes_v, 18.0))
    waves = cosines(modes_u, u, 16.0)[:, None] * cosines(modes_v, v + 8, 18.0)
    exact = np.einsum("abi,ab,abj->ij", waves, spectrum, waves)
    assert soft == pytest.approx(soft.T, abs=1e-12)
    assert soft == pytest.approx(exact, abs=0.01 * exact.max())


def test_ropes_of_two_widths_stay_symmetric():
    """A wide and a narrow rope sink each other alike (Maxwell's reciprocity), between their own stiffnesses."""
    u, v = np.array([5.0, 5.0]), np.array([2.0, 2.0])
    soft = SHELF.indentation_of(THREE_GRID, layer(), True)
    both = soft.between(u, v, np.array([0.4, 1.2]))
    assert both[0, 1] == both[1, 0]
    assert both[1, 1] < both[0, 1] < both[0, 0]


@pytest.mark.parametrize("width, edge", [(0.0, 12.0), (20.0, -9.0), (float("nan"), 12.0)])
def test_strip_without_extent_is_refused(width, edge):
    """A strip without width or depth is a contradiction."""
    with pytest.raises(CaseError, match="strip"):
        Grid.over(width, edge)
