"""Drawn outlines: exact cover of cells, convergence on refinement, and a thousand random polygons."""

import numpy as np
import pytest

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.outline import area, covered
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.sheet import CLAMP, Elastic, solve_sheet
from cuffwright.mechanics.sheet_cells import TISSUE, cell_shares
from cuffwright.mechanics.surroundings import Surroundings
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, laboratory, single_row

TENDON = Elastic(100.0, 20.0, 0.3, 5.0)
U, V = np.linspace(0.0, 20.0, 11), np.linspace(CLAMP, 12.0, 19)

OUTLINES = 300
"""A sample; with 1000 it is the long count."""


def drawn(rng):
    """A random simple outline: a star about a centre, jagged, thin, notched or a sliver."""
    corners = int(rng.integers(3, 24))
    turns = np.sort(rng.uniform(0.0, 2.0 * np.pi, corners))
    size = rng.uniform(0.2, 14.0) * rng.uniform(0.05, 1.0, corners)
    squeeze = 10.0 ** rng.uniform(-3.0, 0.0)
    tilt = rng.uniform(0.0, np.pi)
    a, b = size * np.cos(turns), squeeze * size * np.sin(turns)
    u = rng.uniform(-2.0, 22.0) + a * np.cos(tilt) - b * np.sin(tilt)
    v = rng.uniform(-4.0, 14.0) + a * np.sin(tilt) + b * np.cos(tilt)
    return tuple(zip(u.tolist(), v.tolist(), strict=True))


def inside(polygon, u, v):
    """Whether points lie inside a polygon, by counting the sides a ray crosses."""
    crossed = np.zeros(u.shape, bool)
    for (u0, v0), (u1, v1) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        if v0 != v1:
            crossed ^= ((v0 > v) != (v1 > v)) & (u < u0 + (v - v0) * (u1 - u0) / (v1 - v0))
    return crossed


@pytest.mark.law
def test_cover_is_that_of_counted_points():
    """Cell by cell the covered share is the share of a fine raster of points that a ray count finds inside."""
    rng = np.random.default_rng(4)
    fine = 60
    for _ in range(12):
        polygon = drawn(rng)
        u, v = (line[0] + (np.arange(fine * (line.size - 1)) + 0.5) * (line[1] - line[0]) / fine for line in (U, V))
        hits = inside(polygon, *np.meshgrid(u, v))
        share = hits.reshape(V.size - 1, fine, U.size - 1, fine).mean(axis=(1, 3))
        assert covered(polygon, U, V) == pytest.approx(share, abs=0.04)


@pytest.mark.law
def test_cover_adds_up_to_the_polygon():
    """All cells together cover the polygon's own area, whichever way round it is drawn."""
    notch = ((4.0, 12.0), (9.0, 3.0), (10.0, 11.0), (11.0, 3.0), (16.0, 12.0))
    cell = (U[1] - U[0]) * (V[1] - V[0])
    for polygon in (notch, notch[::-1]):
        assert covered(polygon, U, V).sum() * cell == pytest.approx(abs(area(notch)), rel=1e-12)


@pytest.mark.law
@pytest.mark.parametrize("cell", [2.5, 1.25, 0.625])
def test_tapered_tendon_is_the_formula(cell):
    """Narrowed straight to half its width, a bar of rigid cross sections stretches by F L ln 2 / (E t W / 2)."""
    missing = ((0.0, 12.0), (0.0, CLAMP), (5.0, 12.0), (15.0, 12.0), (20.0, CLAMP), (20.0, 12.0))
    exact = 37.0 * np.log(2.0) / (100.0 * 5.0 * 10.0)
    sheet = solve_sheet(20.0, 12.0, 5.0, Elastic(100.0, 1e4, 0.0, 1e4), cell, Surroundings(missing=missing))
    force = np.zeros(sheet.flex.shape[0])
    across = np.flatnonzero((sheet.u >= 5.0 - 1e-9) & (sheet.u <= 15.0 + 1e-9))
    line = np.ones(across.size)
    line[[0, -1]] = 0.5
    force[2 * sheet.rim[across] + 1] = line / line.sum()
    assert (sheet.flex @ force) @ force == pytest.approx(exact, rel=5e-4)


@pytest.mark.law
def test_notch_is_softer_and_refinement_settles():
    """Missing tissue only softens; the answer at 2, 1.3 and 1 mm closes in."""
    notch = Surroundings(missing=((8.0, 13.0), (10.0, 4.0), (12.0, 13.0)))
    gaps = []
    for cell in (2.0, 4 / 3, 1.0):
        sheet = solve_sheet(20.0, 12.0, 5.0, TENDON, cell, notch)
        whole = solve_sheet(20.0, 12.0, 5.0, TENDON, cell)
        at = np.array([(5.0, 4.0), (15.0, 4.0)])
        soft, full = sheet.flexibility(at)[0], whole.flexibility(at)[0]
        assert np.linalg.eigvalsh(soft - full).min() > -1e-9
        gaps.append(soft[1, 1])
    assert abs(gaps[2] - gaps[1]) < abs(gaps[1] - gaps[0])
    assert gaps[1] == pytest.approx(gaps[2], rel=0.03)


@pytest.mark.req("REQ-031")
def test_random_outlines_mesh_and_solve():
    """Slivers, notches, stars, outlines off the strip, a sample: every sheet is finite, never stiffer than whole."""
    rng = np.random.default_rng(11)
    whole = np.diag(solve_sheet(20.0, 12.0, 5.0, TENDON).flex)
    for _ in range(OUTLINES):
        around = Surroundings(missing=drawn(rng))
        tissue, share = cell_shares(around, U, V)
        assert ((tissue >= 0.0) & (tissue <= 1.0)).all()
        assert (share > 0.0).all()
        flex = solve_sheet.__wrapped__(20.0, 12.0, 5.0, TENDON, 2.0, around).flex
        assert np.isfinite(flex).all()
        assert (np.diag(flex) >= whole * (1.0 - 1e-9)).all()


def test_random_outlines_carry_a_repair_or_are_refused():
    """Twenty-five random outlines: the repair is pulled to a finite strength, or the missing tissue is named."""
    rng = np.random.default_rng(5)
    pulled = 0
    for _ in range(25):
        around = Surroundings(missing=drawn(rng))
        sheet = solve_sheet(STRIP.width, STRIP.edge, STRIP.thickness, laboratory().elastic, around=around)
        at = weave(single_row(), STRIP, laboratory()).net.at
        if sheet.shares(at).sum(axis=1).min() < TISSUE:
            with pytest.raises(OutsideValidity, match="no tissue"):
                weave(single_row(), STRIP, laboratory(), around)
            continue
        ramp = pull(weave(single_row(), STRIP, laboratory(), around))
        pulled += 1
        assert np.isfinite(ramp.curve.force).all()
        assert ramp.ultimate > 0.0
    assert pulled > 10


def test_limb_in_missing_tissue_is_refused_by_name():
    """A limb through the notch is refused, one beside it is not."""
    notch = Surroundings(missing=((1.0, 13.0), (1.0, 1.0), (6.0, 1.0), (6.0, 13.0)))
    with pytest.raises(OutsideValidity, match="no tissue"):
        weave(single_row(), STRIP, laboratory(), notch)
