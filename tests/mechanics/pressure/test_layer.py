"""The layer's transfer functions against closed forms, known values and limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import FormatError, OutsideValidity
from cuffwright.mechanics.pressure import layer as layer_module
from cuffwright.mechanics.pressure.layer import transfer
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.table import LayerShelf, LayerTable
from tests.mechanics.pressure.setup import layer

pytestmark = pytest.mark.law
DEPTH = np.array([1.0, 2.0, 4.0])


def closed_form(a, modulus, poisson, k):
    """Isotropic layer on a rigid base without friction, top pressure cos(kx); Fourier solution of plane strain."""
    low = np.sinh(2 * a) + 2 * a
    base = 2 * (np.sinh(a) + a * np.cosh(a)) / low
    return base, 2 * (1 - poisson**2) / (modulus * k) * (np.cosh(2 * a) - 1) / low


@pytest.mark.req("REQ-031")
@pytest.mark.parametrize("angle", [0.0, 0.6, np.pi / 2])
def test_isotropic_layer_follows_the_closed_form(angle):
    """G within 6e-5 and C within 0.03 % of the Fourier closed form for |k| t = 1, 2, 4, in every direction."""
    soft = LayerProperties.isotropic(3.0, 0.3, 2.0)
    k = DEPTH / soft.thickness
    got = transfer(soft, k * np.cos(angle), k * np.sin(angle))
    base, indentation = closed_form(DEPTH, 3.0, 0.3, k)
    assert got.base == pytest.approx(base, abs=6e-5)
    assert got.indentation == pytest.approx(indentation, rel=3e-4)


def test_closed_form_has_the_tabulated_values():
    """The closed form itself gives G 0.9662, 0.7128, 0.1822 and C E k/(2(1-nu^2)) 0.4909, 0.8408, 0.9940."""
    base, indentation = closed_form(DEPTH, 2.0, 0.0, np.ones(3))
    assert base == pytest.approx([0.9662, 0.7128, 0.1822], abs=6e-5)
    assert indentation == pytest.approx([0.4909, 0.8408, 0.9940], abs=6e-5)


@pytest.mark.parametrize(
    "across, base, indentation",
    [
        (True, [0.9985, 0.8713, 0.5222, 0.1314, 0.0072], [2.496, 2.315, 1.762, 0.995, 0.494]),
        (False, [0.9950, 0.8279, 0.4874, 0.1246, 0.0072], [2.483, 2.227, 1.655, 0.925, 0.458]),
    ],
)
def test_tendon_layer_keeps_its_values(across, base, indentation):
    """The default tendon gives the values of an earlier, separate program, waves across and along the fibres."""
    k, none = np.array([0.05, 0.2, 0.4, 0.8, 1.6]), np.zeros(5)
    got = transfer(layer(), k, none) if across else transfer(layer(), none, k)
    assert got.base == pytest.approx(base, abs=6e-5)
    assert got.indentation == pytest.approx(indentation, abs=6e-4)


def test_refining_the_layer_gains_four_orders(monkeypatch):
    """C approaches its closed form as the fourth power of the element size, the rate of quadratic elements."""
    soft, k = LayerProperties.isotropic(1.0, 0.25, 1.0), np.array([3.0])
    exact = closed_form(k, 1.0, 0.25, k)[1]
    counts, errors = [3, 6, 12], []
    for count in counts:
        monkeypatch.setattr(layer_module, "ELEMENTS", count)
        errors.append(abs(float(transfer(soft, k, 0 * k).indentation[0] - exact[0])))
    assert np.polyfit(np.log(counts), np.log(errors), 1)[0] == pytest.approx(-4.0, abs=0.4)


def test_long_waves_squeeze_a_slab():
    """For long waves C tends to t times the plane-strain compliance (elasticity of a slab free to widen along k)."""
    soft = LayerProperties.isotropic(2.0, 0.3, 4.0)
    got = transfer(soft, np.array([1e-3]), np.array([0.0]))
    assert got.indentation[0] == pytest.approx(4.0 * (1 - 0.3**2) / 2.0, rel=1e-4)
    assert got.base[0] == pytest.approx(1.0, abs=1e-6)


def test_short_base_waves_see_a_half_space():
    """For short waves K tends to E k / (2 (1 - nu^2)), the half space pressed by a wave (contact mechanics)."""
    soft = LayerProperties.isotropic(2.0, 0.3, 4.0)
    k = np.array([2.0])
    assert transfer(soft, k, 0 * k).lift[0] == pytest.approx(2.0 * 2.0 / (2 * (1 - 0.09)), rel=4e-3)


@settings(max_examples=25)
@given(kt=st.floats(0.02, 15.9), angle=st.floats(0, np.pi / 2), thickness=st.floats(2, 8))
def test_table_returns_what_the_layer_does(kt, angle, thickness):
    """One table serves every thickness: G within 3e-4, C and K within 0.1 % of the direct solution."""
    tendon = layer(thickness)
    k_u, k_v = (np.array([kt / thickness * f(angle)]) for f in (np.cos, np.sin))
    looked, direct = SHELF.of(tendon).at(tendon, k_u, k_v), transfer(tendon, k_u, k_v)
    assert looked.base == pytest.approx(direct.base, abs=3e-4)
    assert looked.indentation == pytest.approx(direct.indentation, rel=1e-3)
    assert looked.lift == pytest.approx(direct.lift, rel=1e-3, abs=1e-4)


SHELF = LayerShelf()


def test_still_tendon_passes_all_force_on():
    """The zero wave has G 1 and K 0, so that force is conserved and a rigid lift costs nothing."""
    got = SHELF.of(layer()).at(layer(), np.zeros(1), np.zeros(1))
    assert (got.base[0], got.lift[0]) == (1.0, 0.0)


def test_stored_table_comes_back_unchanged():
    """A table written to an array and read back is the same; a cut one or another material's is refused."""
    table = SHELF.of(layer())
    back = LayerTable.from_array(layer(), table.to_array())
    assert np.array_equal(back.to_array(), table.to_array())
    shelf = LayerShelf()
    shelf.put(layer(), table.to_array())
    assert shelf.of(layer(3.0)).ratios == table.ratios
    with pytest.raises(FormatError, match="made anew"):
        LayerTable.from_array(layer(), table.to_array()[:2])
    with pytest.raises(FormatError, match="another material"):
        table.at(LayerProperties.isotropic(2.0, 0.3, 5.0), np.ones(1), np.ones(1))


@pytest.mark.parametrize("thickness", [0.0, -1.0, float("nan")])
def test_impossible_layer_is_refused(thickness):
    """A layer without thickness, or one whose moduli would give out energy, is outside validity."""
    with pytest.raises(OutsideValidity):
        layer(thickness)
    with pytest.raises(OutsideValidity, match="stable"):
        LayerProperties(100, 20, 2, 5, 1, 0.3, 3.5, 5)
