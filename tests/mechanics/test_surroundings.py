"""Held sides, regions, a free muscle end and its pull: closed forms, symmetry, and the twin."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import sparse
from scipy.sparse.linalg import spsolve

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.mechanics import plain
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.sheet import CLAMP, Elastic, solve_sheet
from cuffwright.mechanics.surroundings import Region, Surroundings, side_hold, tendon_regions
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, bridging, double_row, laboratory, single_row

BAR = Elastic(100.0, 20.0, 0.0, 1e5)
"""No cross effects and stiff in shear: the sheet is a bar."""


def edge_load(sheet, weights=None):
    """Nodal forces of 1 N along v spread over the edge."""
    line = np.ones(sheet.u.size)
    line[[0, -1]] = 0.5
    force = np.zeros(sheet.flex.shape[0])
    force[2 * sheet.rim + 1] = line / line.sum() if weights is None else weights
    return force


@pytest.mark.law
def test_sides_on_springs_are_the_bar_on_a_bed():
    """A bar held along both sides: edge follows by 1 / cosh(a L), the muscle end meets E t W a tanh(a L)."""
    hold, length = 2.0, 12.0 - CLAMP
    sheet = solve_sheet(20.0, 12.0, 5.0, BAR, 1.0, Surroundings(front=hold, back=hold))
    a = np.sqrt(2.0 * hold / (100.0 * 5.0 * 20.0))
    assert sheet.lead[0] == pytest.approx(1.0 / np.cosh(a * length), rel=4e-3)
    assert sheet.bulk[0, 0] == pytest.approx(100.0 * 5.0 * 20.0 * a * np.tanh(a * length), rel=4e-3)
    assert sheet.edge @ edge_load(sheet) == pytest.approx(np.tanh(a * length) / (100.0 * 5.0 * 20.0 * a), rel=4e-3)


@pytest.mark.law
def test_side_hold_is_the_shear_lag_formula():
    """5 mm, 37 mm, 100 and 5 MPa: 4.746 N/mm per mm, and a neighbour solved on a grid resists its side as much.

    The neighbour is fixed at its bone, free at its muscle end, and only moves along its fibres: E w_vv + G w_uu = 0.
    """
    hold = side_hold(100.0, 5.0, 5.0, 37.0)
    assert hold == pytest.approx(4.746, abs=0.001)
    du, dv, wide, long = 1.0, 0.5, 150, 74
    along = 100.0 * sparse.diags([1.0, -2.0, 1.0], [-1, 0, 1], (long, long)).tolil()
    along[-1, -2] *= 2.0
    across = 5.0 * sparse.diags([1.0, -2.0, 1.0], [-1, 0, 1], (wide, wide)).tolil()
    whole = sparse.kron(across / du**2, sparse.eye(long)) + sparse.kron(sparse.eye(wide), along / dv**2)
    side = np.sin(0.5 * np.pi * np.arange(1, long + 1) * dv / 37.0)
    right = np.zeros((wide, long))
    right[0] = -5.0 * side / du**2
    moved = spsolve(whole.tocsc(), right.ravel()).reshape(wide, long)
    shear = 5.0 * 5.0 * (3.0 * side - 4.0 * moved[0] + moved[1]) / (2.0 * du)
    assert shear == pytest.approx(hold * side, rel=0.02)


@pytest.mark.law
def test_regions_are_springs_side_by_side():
    """Two halves of 150 and 50 MPa and of 4 and 6 mm under one bar motion carry E t W / (2 L) each."""
    around = Surroundings(regions=(Region(10.0, 1.5, 0.8), Region(20.0, 0.5, 1.2)), front=1e9)
    sheet = solve_sheet(20.0, 12.0, 5.0, replace(BAR, shear=1e-6), 1.0, replace(around, front=0.0))
    force = edge_load(sheet)
    left = sheet.u < 10.0
    moved = (sheet.flex @ force)[2 * sheet.rim + 1]
    stiff = {True: 150.0 * 4.0, False: 50.0 * 6.0}
    for side in (left, sheet.u > 10.0):
        exact = force[2 * sheet.rim + 1][side].sum() * 37.0 / (stiff[bool(side[0])] * 9.5)
        assert moved[side][1:-1].mean() == pytest.approx(exact, rel=0.12)


def test_published_regions_keep_the_mean_modulus():
    """Over a whole tendon the shares average to one; a strip that starts further back loses the anterior third."""
    book = Citing(load_book())
    whole = tendon_regions(book, 0.0, 23.0)
    assert np.mean([region.modulus for region in whole]) == pytest.approx(1.0)
    assert whole[0].modulus > whole[1].modulus > whole[2].modulus
    back = tendon_regions(book, 8.0, 15.0)
    assert [region.modulus for region in back] == [region.modulus for region in whole[1:]]


@pytest.mark.law
def test_symmetric_repair_does_not_notice_a_free_muscle_end():
    """Mirror symmetry: until the first member is lost a free muscle end neither shifts nor turns: the clamp's ramp."""
    layout = single_row()
    held, free = (pull(weave(layout, STRIP, laboratory(), Surroundings(free=f))) for f in (False, True))
    lost = held.curve.events[0, 0]
    assert free.curve.events[0].tolist() == held.curve.events[0].tolist()
    assert free.curve.force[:lost] == pytest.approx(held.curve.force[:lost], rel=1e-6)
    assert free.curve.edge[:lost] == pytest.approx(held.curve.edge[:lost], rel=1e-6, abs=1e-7)


@pytest.mark.law
def test_a_free_muscle_end_feels_no_moment_and_no_force_across():
    """With one suture gone the free end turns: its moment and sideways force vanish, and front and back gap differ."""
    layout = double_row()
    lopsided = replace(layout, stitches=layout.stitches[1:])
    held = pull(weave(lopsided, STRIP, laboratory()))
    free = pull(weave(lopsided, STRIP, laboratory(), Surroundings(free=True)))
    for ramp, zero in ((held, False), (free, True)):
        forces = ramp.curve.pull.reshape(-1, ramp.woven.net.kind.size, 2)[4]
        at = ramp.woven.net.at
        across = forces[:, 0].sum()
        moment = (forces[:, 1] * (at[:, 0] - 10.0) - forces[:, 0] * (at[:, 1] - CLAMP)).sum()
        assert (abs(across) < 1e-6) == zero
        assert (abs(moment) < 1.0) == zero
    _, fixed = held.gap_profile(100.0)
    _, turned = free.gap_profile(100.0)
    assert abs(turned[0] - turned[-1]) > abs(fixed[0] - fixed[-1])


@pytest.mark.law
def test_gap_profile_averages_to_the_gap():
    """Weighted along the edge the profile is the gap, for a held and for a free muscle end."""
    layout = double_row()
    for around in (Surroundings(), Surroundings(free=True, front=2.0, pull_degrees=8.0)):
        ramp = pull(weave(replace(layout, stitches=layout.stitches[1:]), STRIP, laboratory(), around))
        _, profile = ramp.gap_profile(90.0)
        assert np.trapezoid(profile, dx=1.0) / (profile.size - 1) == pytest.approx(ramp.gap(90.0), rel=1e-5)


@pytest.mark.law
def test_oblique_pull_of_a_bare_sheet_is_rigid():
    """With nothing sutured and free sides the muscle end meets no force in any direction of pull."""
    sheet = solve_sheet(20.0, 12.0, 5.0, BAR, 2.0, Surroundings(pull_degrees=25.0))
    assert np.abs(sheet.bulk).max() < 1e-4
    assert sheet.ride[0::2, 0] == pytest.approx(-np.sin(np.radians(25.0)), abs=1e-9)
    assert sheet.lead[0] == pytest.approx(np.cos(np.radians(25.0)))


def test_oblique_pull_loads_the_side_away_from_it():
    """Pulled backwards, a symmetric repair is no longer loaded alike in front and behind."""
    straight, oblique = (
        pull(weave(single_row(), STRIP, laboratory(), Surroundings(pull_degrees=d))).shares(120.0) for d in (0.0, 25.0)
    )
    even, odd = ([share.anchors[name] for name in ("L1", "L2")] for share in (straight, oblique))
    assert even[0] == pytest.approx(even[1], rel=1e-6)
    assert abs(odd[0] / odd[1] - 1.0) > 0.01


@pytest.mark.req("REQ-028")
@pytest.mark.parametrize("knotted", [True, False])
def test_twin_agrees_in_any_surroundings(knotted):
    """Held sides, regions, an oblique pull and a free muscle end: compiled and plain ramp agree to 1e-6."""
    around = Surroundings(2.0, 1.0, (Region(8.0, 1.4, 1.1), Region(20.0, 0.8)), (), 10.0, True)
    woven = weave(bridging(knotted=knotted), STRIP, laboratory(), around)
    fast, slow = pull(woven).curve, plain.rise(woven.net, 0.25, 25.0)
    assert slow.force == pytest.approx(fast.force, rel=1e-6, abs=1e-4)
    assert slow.edge == pytest.approx(fast.edge, rel=1e-6, abs=1e-5)
    assert np.array_equal(slow.events, fast.events)


def test_neighbours_take_load_off_the_repair():
    """With both neighbours intact the same clamp force loads the sutures less and opens less gap."""
    alone, joined = (pull(weave(single_row(), STRIP, laboratory(), Surroundings(front=k, back=k))) for k in (0.0, 3.0))
    assert joined.gap(150.0) < alone.gap(150.0)
    assert sum(joined.shares(150.0).anchors.values()) < sum(alone.shares(150.0).anchors.values())
