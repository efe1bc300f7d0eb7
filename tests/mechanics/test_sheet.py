"""The elastic sheet against closed forms, an independent finite-element code, and its own refinement."""

import numpy as np
import pytest
from scipy.sparse.linalg import splu

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.sheet import CLAMP, Elastic, patch_weights, solve_sheet, stiffness
from cuffwright.start.reference.sheet import site_motions

TENDON = Elastic(100.0, 20.0, 0.3, 5.0)
SITES = np.array([(5.0, 2.0), (15.0, 2.0), (8.0, 2.0), (10.0, 9.0)])
FORCES = np.array([0.0, -30.0, 5.0, -20.0, -3.0, -25.0, 0.0, -10.0])


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_uniaxial_sheet():
    """100 N spread over the free edge stretch a 37 x 20 x 5 mm sheet of 100 MPa by F L / (E t W) = 0.37 mm."""
    sheet = solve_sheet(20.0, 12.0, 5.0, Elastic(100.0, 20.0, 0.0, 5.0))
    line = np.ones(sheet.u.size)
    line[[0, -1]] = 0.5
    force = np.zeros(sheet.flex.shape[0])
    force[-2 * sheet.u.size + 1 :: 2] = 100.0 * line / line.sum()
    moved = (sheet.flex @ force)[-2 * sheet.u.size + 1 :: 2]
    assert moved == pytest.approx(np.full(sheet.u.size, 100.0 * 37.0 / (100.0 * 5.0 * 20.0)), rel=1e-9)


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_off_axis_modulus():
    """Pulled at 30 degrees to the fibres the modulus is 22.16 MPa, by the laminate transformation formula."""
    angle = np.radians(30.0)
    c, s = np.cos(angle), np.sin(angle)
    compliance = np.linalg.inv(TENDON.matrix())
    stress = np.array([s * s, c * c, s * c])
    formula = 1.0 / (c**4 / 100.0 + s**4 / 20.0 + (1.0 / 5.0 - 2.0 * 0.3 / 100.0) * s * s * c * c)
    assert 1.0 / (stress @ compliance @ stress) == pytest.approx(formula, rel=1e-12)
    assert formula == pytest.approx(22.16, abs=0.005)


@pytest.mark.parametrize(("cell", "site_tolerance", "edge_tolerance"), [(2.0, 0.04, 0.02), (1.0, 0.012, 0.006)])
def test_loaded_patches_against_stored_reference(cell, site_tolerance, edge_tolerance):
    """Four loaded patches move as a quadratic-triangle reference found (self-converged to 2e-5)."""
    sheet = solve_sheet(20.0, 12.0, 5.0, TENDON, cell)
    flexibility, _ = sheet.flexibility(SITES)
    moved = (flexibility @ FORCES)[1::2]
    assert moved == pytest.approx([-0.3022, -0.2069, -0.3085, -0.2971], rel=site_tolerance)
    edge = np.interp([2.0, 6.0, 10.0, 14.0, 18.0], sheet.u, sheet.edge_profile(SITES, FORCES))
    assert edge == pytest.approx([-0.2222, -0.3060, -0.3015, -0.2154, -0.1478], rel=edge_tolerance)


def test_site_flexibility_against_scikit_fem():
    """Patches inside and near the edge move as scikit-fem's quadratic elements say: 1 % at 1 mm, 4 % at 2 mm."""
    sites = np.array([(5.0, 1.0), (14.0, 4.0), (9.0, 8.0), (2.0, 6.0)])
    forces = np.array([0.0, -30.0, 6.0, -20.0, -4.0, -25.0, 3.0, -10.0])
    expected = site_motions(TENDON, 20.0, 12.0, 5.0, sites, forces)
    for cell, tolerance in ((1.0, 0.01), (2.0, 0.04)):
        flexibility, _ = solve_sheet(20.0, 12.0, 5.0, TENDON, cell).flexibility(sites)
        assert np.abs(flexibility @ forces - expected).max() < tolerance * np.abs(expected).max()


def sites_only(sites, cell):
    """Flexibility of the sites on a mesh too fine to keep the answer of every node."""
    u, v = np.linspace(0.0, 20.0, round(20.0 / cell) + 1), np.linspace(CLAMP, 12.0, round(37.0 / cell) + 1)
    share = patch_weights(sites[:, 1], v)[:, :, None] * patch_weights(sites[:, 0], u)[:, None, :]
    grip = np.zeros((2 * len(sites), 2 * u.size * v.size))
    grip[0::2, 0::2] = grip[1::2, 1::2] = share.reshape(len(sites), -1)
    free = slice(2 * u.size, None)
    whole = stiffness(TENDON, 5.0, u, v)[free, free].tocsc()
    return grip[:, free] @ splu(whole).solve(np.ascontiguousarray(grip[:, free].T))


@pytest.mark.law
def test_mesh_refinement_converges_at_second_order():
    """Bilinear cells under smooth patch loads lose their error with the square of the mesh size."""
    sites = np.vstack((SITES, [(5.0, 11.5)]))
    fine = sites_only(sites, 0.25)
    errors = [np.abs(sites_only(sites, cell) - fine).max() for cell in (2.0, 1.0, 0.5)]
    orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))
    assert (orders > 1.7).all(), orders
    assert (orders < 2.6).all(), orders


@pytest.mark.law
def test_flexibility_is_reciprocal_and_positive():
    """Maxwell: pulling at one site moves another as the other way round; no site gives energy back."""
    flexibility, _ = solve_sheet(36.0, 14.0, 4.0, TENDON).flexibility(np.array([(3.0, 1.0), (30.0, 5.0), (18.0, 13.5)]))
    assert np.allclose(flexibility, flexibility.T, rtol=1e-12)
    assert np.linalg.eigvalsh(flexibility).min() > 0.0


@pytest.mark.law
@pytest.mark.parametrize("width", [8.0, 23.0, 60.0])
def test_patch_shares_add_up_at_the_edges(width):
    """A patch cut by the sheet's edge is made whole: its shares add up to one and are never negative."""
    knots = np.linspace(0.0, width, round(width / 2.0) + 1)
    shares = patch_weights(np.array([0.0, 0.4, width / 2.0, width - 0.5, width]), knots)
    assert shares.sum(axis=1) == pytest.approx(np.ones(5), abs=1e-12)
    assert shares.min() >= 0.0


@pytest.mark.law
def test_twice_as_thick_moves_half_as_far():
    """Plane stress scales with thickness."""
    thin, thick = (solve_sheet(20.0, 12.0, t, TENDON).flexibility(SITES)[0] for t in (2.5, 5.0))
    assert np.allclose(thin, 2.0 * thick, rtol=1e-9)


def test_a_site_off_the_sheet_is_refused():
    """A limb beyond the strip or far medial is refused with its place."""
    sheet = solve_sheet(20.0, 12.0, 5.0, TENDON)
    for place in ((21.0, 2.0), (5.0, -12.0), (5.0, 12.5)):
        with pytest.raises(OutsideValidity, match="lies off the tendon strip"):
            sheet.flexibility(np.array([place]))
