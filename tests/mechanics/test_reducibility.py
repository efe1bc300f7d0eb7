"""Columns of muscle: closed forms of the passive law, the split of the profile, what release and closure do."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.reducibility import PassiveLaw, Retraction, reduce_tear, site_preloads
from cuffwright.mechanics.sheet import Elastic, solve_sheet

BOOK = Citing(load_book())
LAW = PassiveLaw.from_facts(BOOK, "chronic")
U_SHAPE = Retraction((0.0, 5.0, 12.5, 20.0, 25.0), (2.0, 8.0, 20.0, 8.0, 2.0))


def even(far):
    """A 25 mm edge retracted evenly."""
    return Retraction((0.0, 25.0), (far, far))


@pytest.mark.law
@pytest.mark.parametrize(("far", "degrees", "newtons"), [(20.0, 0.0, 28.5), (10.0, 0.0, 8.906), (20.0, 60.0, 6.854)])
def test_even_edge_meets_the_formula(far, degrees, newtons):
    """25 mm wide: 28.5 N at 20 mm, 8.906 N at 10 mm, 6.854 N at 20 mm and 60 degrees (the law by hand)."""
    assert reduce_tear(LAW, even(far), degrees).force == pytest.approx(newtons, rel=1e-3)


@pytest.mark.law
def test_slanted_edge_is_the_integral_by_hand():
    """An edge slanting from 0 to 20 mm needs p0 W ((exp(k r) - 1) / (k r) - 1): the integral of the law."""
    k, r = LAW.growth, 20.0
    exact = LAW.base * 25.0 * ((math.exp(k * r) - 1.0) / (k * r) - 1.0)
    found = reduce_tear(LAW, Retraction((0.0, 25.0), (0.0, 20.0)))
    assert found.force == pytest.approx(exact, rel=1e-9)
    assert found.bend == pytest.approx(0.0, abs=1e-9)
    assert found.turn_degrees == pytest.approx(math.degrees(math.atan(0.8)), rel=1e-9)
    assert found.verdict != "not-directly"


@pytest.mark.law
def test_line_is_the_least_squares_line():
    """The straight part is what a fine least-squares fit of the profile gives."""
    u = np.linspace(0.0, 25.0, 200_001)
    slope, height = np.polyfit(u, Retraction(U_SHAPE.u, (0.0, 9.0, 20.0, 6.0, 3.0)).at(u), 1)
    assert Retraction(U_SHAPE.u, (0.0, 9.0, 20.0, 6.0, 3.0)).line() == pytest.approx((height, slope), rel=1e-4)


@pytest.mark.published
def test_abduction_lowers_tension_as_read():
    """60 degrees of abduction lower the tension of a long-standing tear by the read 59.25 to 14.25 N."""
    side, raised = (reduce_tear(LAW, even(20.0), degrees).force for degrees in (0.0, 60.0))
    assert side / raised == pytest.approx(59.25 / 14.25, rel=2e-3)


@pytest.mark.law
def test_sheet_and_muscle_in_series_need_almost_as_much():
    """With 100 MPa of tendon, 30 mm long, in series an even 20 mm edge needs 28.31 N: the tendon stretches a little."""
    stretch = solve_sheet(25.0, 5.0, 5.0, Elastic(100.0, 20.0, 0.0, 5.0))
    line = np.ones(stretch.u.size)
    line[[0, -1]] = 0.5
    load = np.zeros(stretch.flex.shape[0])
    load[2 * stretch.rim + 1] = line / line.sum()
    soft = float(stretch.edge @ load)
    assert soft == pytest.approx(30.0 / (100.0 * 5.0 * 25.0), rel=1e-6)
    low, high = 0.0, 40.0
    for _ in range(60):
        force = 0.5 * (low + high)
        low, high = (force, high) if reduce_tear(LAW, even(20.0 - soft * force)).force > force else (low, force)
    assert force == pytest.approx(28.31, abs=0.02)


def test_u_shape_is_not_directly_reducible_and_closing_it_helps():
    """A 20 mm U over 25 mm is flagged; half closed it still is, closed to its limbs it is reducible at less force."""
    direct = reduce_tear(LAW, U_SHAPE)
    assert reduce_tear(LAW, U_SHAPE.converged(10.0)).verdict == "not-directly"
    closed = reduce_tear(LAW, U_SHAPE.converged(18.0))
    assert direct.verdict == "not-directly"
    assert "side to side" in direct.words
    assert closed.verdict == "reducible"
    assert closed.force < direct.force


@pytest.mark.parametrize(("far", "verdict"), [(15.0, "reducible"), (21.0, "caution"), (25.0, "high")])
def test_flags_follow_the_published_tensions(far, verdict):
    """Up to 30 N is reducible, up to 35 N asks for care, above is high (118 and 50 published repairs)."""
    assert reduce_tear(LAW, even(far)).verdict == verdict


@pytest.mark.law
@settings(max_examples=25, deadline=None)
@given(
    far=st.lists(st.floats(0.0, 40.0), min_size=2, max_size=7),
    by=st.floats(0.0, 30.0),
    degrees=st.floats(0.0, 90.0),
)
def test_release_closure_and_abduction_never_raise_the_force(far, by, degrees):
    """Any profile: release, medialisation, margin convergence and abduction only lower the force."""
    profile = Retraction(tuple(4.0 * n for n in range(len(far))), tuple(far))
    before = reduce_tear(LAW, profile).force
    for after in (profile.released(by), profile.converged(by)):
        assert reduce_tear(LAW, after).force <= before + 1e-9
    assert reduce_tear(LAW, profile, degrees).force <= before + 1e-9
    assert max(profile.converged(by).far) == pytest.approx(max(0.0, max(far) - by), abs=1e-9)


@pytest.mark.law
def test_stitches_share_all_the_force():
    """The stitches' shares add up to the whole, in the order asked, the one at the apex taking most."""
    shares = site_preloads(LAW, U_SHAPE, [20.0, 12.5, 5.0], 0.0)
    assert shares.sum() == pytest.approx(reduce_tear(LAW, U_SHAPE).force, rel=1e-6)
    assert shares.argmax() == 1
    assert shares[0] == pytest.approx(shares[2], rel=1e-6)


def test_a_measured_tension_replaces_the_mean():
    """12 N measured at 15 mm over 18 mm is what the law then gives there; half a measurement is refused."""
    own = PassiveLaw.from_facts(BOOK, "chronic", measured_newtons=12.0, measured_mm=15.0, width=18.0)
    assert reduce_tear(own, Retraction((0.0, 18.0), (15.0, 15.0))).force == pytest.approx(12.0, rel=1e-9)
    with pytest.raises(CaseError, match="all three"):
        PassiveLaw.from_facts(BOOK, "chronic", measured_newtons=12.0)
