"""Sutures that slide with friction: the capstan law by hand, and a knotless repair between its two bounds."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.mechanics.kernels.chain import TIED, parts_of
from cuffwright.mechanics.kernels.newton import settle
from cuffwright.mechanics.kernels.ramp import lose, tie
from cuffwright.mechanics.kernels.rope import share_out
from cuffwright.mechanics.kernels.slip import eyelet_angle, keep_slips, rope_tensions, rub_limits, wrap_angle
from cuffwright.mechanics.kernels.work import Ties, workspace
from cuffwright.mechanics.net import ON_ANCHOR, ON_BOTTOM, ON_TOP
from cuffwright.mechanics.plain_chains import slide
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, bridging, double_row, laboratory
from tests.mechanics.test_energy import rigid_net, state


def rubbing(friction, eyelet=0.1):
    """Laboratory numbers with one friction of sliding sutures, and one in the eyelet."""
    return replace(laboratory(), rub={"slides": friction, "eyelet": eyelet, "tied": 0.0})


def two_parts(tensions, stiff, friction, angle):
    """Tensions and slip of two parts of rope at fixed lengths, with the friction of the slacker part."""
    stiff = np.array(stiff)
    long, rest, limit = np.array([10.0, 10.0]), 10.0 - np.array(tensions) / stiff, np.zeros(2)
    pull_, slides = np.zeros(2), np.zeros(2, np.int64)
    for _ in range(200):
        share_out(long, stiff, rest, limit, 2, pull_, slides)
        limit[0] = math.expm1(friction * angle) * pull_.min()
    return pull_, rest[1] - (long[1] - pull_[1] / stiff[1])


@pytest.mark.req("REQ-031")
@pytest.mark.law
@pytest.mark.parametrize(("friction", "degrees", "newtons"), [(0.054, 90.0, 21.77), (0.2, 180.0, 37.49)])
def test_a_sliding_rope_carries_the_capstan_ratio(friction, degrees, newtons):
    """20 N behind a turn of 90 degrees at 0.054 is 21.77 N before it, of 180 degrees at 0.2 it is 37.49 N."""
    angle = math.radians(degrees)
    pulled, _ = two_parts((500.0, 20.0), (1.0, 1e9), friction, angle)
    assert pulled[0] / pulled[1] * 20.0 == pytest.approx(newtons, abs=0.005)


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_slip_return_by_hand():
    """60 against 20 N, 50 and 80 N/mm, 0.2 over 90 degrees: 0.2045 mm slips, leaving 49.78 and 36.36 N."""
    pulled, slip = two_parts((60.0, 20.0), (50.0, 80.0), 0.2, math.pi / 2.0)
    grown = math.exp(0.2 * math.pi / 2.0)
    by_hand = (60.0 - grown * 20.0) / (50.0 + grown * 80.0)
    assert by_hand == pytest.approx(0.2045, abs=5e-5)
    assert slip == pytest.approx(by_hand, rel=1e-6)
    assert pulled == pytest.approx((49.78, 36.36), abs=0.01)
    assert pulled[0] / pulled[1] == pytest.approx(1.3691, abs=1e-4)


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10_000), parts=st.integers(1, 6))
def test_both_programs_find_the_same_slips(seed, parts):
    """The compiled active set and the twin's trial of every combination agree on energy and tensions."""
    rng = np.random.default_rng(seed)
    long, stiff = rng.uniform(3.0, 20.0, parts), rng.uniform(5.0, 900.0, parts)
    rest = long - rng.uniform(0.1, 60.0, parts) / stiff
    limit = rng.uniform(0.0, 25.0, parts)
    found, slides = np.zeros(parts), np.zeros(parts, np.int64)
    energy = share_out(long, stiff, rest, limit, parts, found, slides)
    other, tension, _ = slide(long, stiff, rest, limit)
    assert found == pytest.approx(tension, rel=1e-8, abs=1e-8)
    assert energy == pytest.approx(other, rel=1e-9)
    assert (np.abs(np.diff(found)) <= limit[:-1] + 1e-9).all()


@pytest.mark.law
def test_turns_are_those_of_the_geometry():
    """Up a hole, over the top and away level the rope turns twice by 90 degrees; straight on it does not turn."""
    rope = [(ON_ANCHOR, 0), (ON_BOTTOM, 0), (ON_TOP, 0), (ON_TOP, 1), (ON_ANCHOR, 1)]
    net = rigid_net([(0.0, 10.0), (0.0, 20.0)], [(0.0, 0.0, 0.0), (0.0, 30.0, 5.0)], [rope], [0.1])
    net = net._replace(part=np.array([[0, 0, 0, 1, 2]]), rub=np.array([0.1]))
    assert wrap_angle(net, state(net, 0.0), 0, 2) == pytest.approx(math.pi)
    assert wrap_angle(net, state(net, 0.0), 0, 3) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.law
def test_every_cut_stays_within_the_capstan_law_under_load():
    """In a pulled knotless repair no part carries more than exp(friction x angle) times its neighbour."""
    net = weave(bridging(knotted=False), STRIP, rubbing(0.1)).net
    x, stiff, rest = tie(net)
    limit, tension = np.zeros(rest.shape), np.zeros(rest.shape)
    here, none, tied = np.full(net.nodes.size, TIED), np.zeros((net.kind.size, 2)), np.zeros((net.kind.size, 2))
    ties = Ties(here, stiff, rest, limit, none, tied, np.zeros(net.kind.size))
    for _ in range(12):
        x[-1] += 0.25
        for _ in range(60):
            settle(net, x, x.size - 1, ties, workspace(net))
            rope_tensions(net, x, here, stiff, rest, limit, tension)
            if rub_limits(net, x, tension, limit) < 1e-7:
                break
    ratios = []
    for r in range(net.nodes.size):
        assert parts_of(net, r) == 3
        for s, c in ((2, 0), (3, 1)):
            most = math.exp(net.rub[r] * wrap_angle(net, x, r, s))
            pair = sorted((tension[r, c], tension[r, c + 1]))
            ratios.append(pair[1] / pair[0] / most)
    assert max(ratios) <= 1.0 + 1e-4
    assert max(ratios) == pytest.approx(1.0, abs=1e-3)


@pytest.mark.law
def test_knotless_repair_lies_between_sliding_freely_and_not_at_all():
    """Gap at 180 N falls as friction rises, from the frictionless value to that of a suture stuck in every hole."""
    layout = bridging(knotted=False)
    gaps = [pull(weave(layout, STRIP, rubbing(mu))).gap(180.0) for mu in (0.0, 1e-9, 0.05, 0.1, 0.2, 50.0)]
    assert gaps[1] == pytest.approx(gaps[0], rel=1e-6)
    assert all(more < less for less, more in pairwise(gaps[1:]))


def test_friction_of_sliding_sutures_leaves_tied_ones_alone():
    """A double row has no sliding suture: its ramp is the same to the last digit whatever the friction."""
    first, second = (pull(weave(double_row(), STRIP, rubbing(mu))).curve.force for mu in (0.0, 0.3))
    assert np.array_equal(first, second)


@pytest.mark.law
def test_rope_is_neither_made_nor_lost_by_sliding():
    """After pulling a knotless repair 3 mm slips have moved rope between parts, and its sum is what was tied in."""
    net = weave(bridging(knotted=False), STRIP, rubbing(0.1)).net
    x, stiff, rest = tie(net)
    x[-1] += 3.0
    limit, tension, after = np.zeros(rest.shape), np.zeros(rest.shape), rest.copy()
    here, none, still = np.full(net.nodes.size, TIED), np.zeros((net.kind.size, 2)), np.zeros(net.kind.size)
    for _ in range(40):
        settle(net, x, x.size - 1, Ties(here, stiff, rest, limit, none, none, still), workspace(net))
        rope_tensions(net, x, here, stiff, rest, limit, tension)
        rub_limits(net, x, tension, limit)
    keep_slips(net, x, here, stiff, tension, after)
    assert np.abs(after - rest).max() > 0.05
    assert after.sum(axis=1) == pytest.approx(rest.sum(axis=1), abs=1e-9)


def uneven():
    """A knotless repair whose first lateral anchor lies 4 mm back and one hole lateral: its limbs are pulled unlike."""
    layout = bridging(knotted=False)
    moved = layout.with_anchor(replace(layout.anchor("L1"), u=9.0))
    return moved.with_hole(replace(moved.hole("1aF"), v=6.0))


@pytest.mark.law
def test_a_suture_turns_in_its_eyelet_by_the_angle_between_its_limbs():
    """From holes 6 mm to either side and 6 mm above the anchor it turns by 90 degrees, straight back up by 180."""
    for out, angle in ((6.0, math.pi / 2.0), (0.0, math.pi)):
        ropes = [[(ON_ANCHOR, 0), (ON_BOTTOM, 0)], [(ON_ANCHOR, 0), (ON_BOTTOM, 1)]]
        net = rigid_net([(-out, 10.0), (out, 10.0)], [(0.0, 10.0, -6.0)], ropes, [0.1, 0.1])
        net = net._replace(mate=np.array([1, 0]))
        assert eyelet_angle(net, state(net, 0.0), 0) == pytest.approx(angle)


@pytest.mark.req("REQ-031")
@pytest.mark.law
@pytest.mark.parametrize("friction", [0.0, 0.05])
def test_rope_passes_through_an_eyelet_at_the_capstan_ratio_and_none_is_lost(friction):
    """Pulled 3 mm, limbs of one suture differ by exp(friction x angle) at most; what one gives the other takes."""
    net = weave(uneven(), STRIP, rubbing(0.1, friction)).net
    x, stiff, rest = tie(net)
    x[-1] += 3.0
    limit, tension, after = np.zeros(rest.shape), np.zeros(rest.shape), rest.copy()
    here, none, still = np.full(net.nodes.size, TIED), np.zeros((net.kind.size, 2)), np.zeros(net.kind.size)
    for _ in range(60):
        settle(net, x, x.size - 1, Ties(here, stiff, rest, limit, none, none, still), workspace(net))
        rope_tensions(net, x, here, stiff, rest, limit, tension)
        rub_limits(net, x, tension, limit)
    keep_slips(net, x, here, stiff, tension, after)
    assert sorted(net.mate) == [0, 1, 2, 3]
    assert np.abs((after - rest).sum(axis=1)).max() > 0.05
    for r in (0, 2):
        pair = sorted((tension[r, 0], tension[net.mate[r], 0]))
        assert pair[1] / pair[0] == pytest.approx(math.exp(friction * eyelet_angle(net, x, r)), rel=1e-4)
        both = [r, net.mate[r]]
        assert after[both].sum() == pytest.approx(rest[both].sum(), abs=1e-9)


@pytest.mark.law
def test_both_programs_agree_on_rope_that_passes_an_eyelet():
    """An uneven knotless repair, ramped by kernels and by the plain twin: one force, one edge, all tensions to 1e-5."""
    fast, slow = (pull(weave(uneven(), STRIP, rubbing(0.1, 0.05)), step=1.0, plain=plain) for plain in (False, True))
    assert slow.curve.force == pytest.approx(fast.curve.force, rel=1e-6, abs=1e-4)
    assert slow.curve.edge == pytest.approx(fast.curve.edge, rel=1e-6, abs=1e-6)
    assert slow.curve.tension == pytest.approx(fast.curve.tension, rel=1e-5, abs=1e-4)
    assert np.array_equal(slow.curve.events, fast.curve.events)


@pytest.mark.law
def test_an_eyelet_evens_out_what_two_limbs_carry():
    """At 150 N the limbs of one suture differ the less, the less the eyelet rubs; stuck, they differ most."""
    spreads = []
    for friction in (0.0, 0.05, 0.1, 50.0):
        curve = pull(weave(uneven(), STRIP, rubbing(0.1, friction))).curve
        limbs = curve.tension[np.searchsorted(curve.force, 150.0)]
        spreads.append(abs(limbs[1] - limbs[0]))
    assert all(less < more for less, more in pairwise(spreads))


@pytest.mark.law
@pytest.mark.parametrize("knotted", [False, True])
def test_a_lost_end_frees_the_other_limb_of_a_sliding_suture(knotted):
    """Nothing holds a limb whose suture runs freely through the eyelet once its other end is lost; a medial knot does.

    With wall anchor L1 gone, the limbs that end on L2 stand only where they are knotted.
    """
    woven = weave(bridging(knotted=knotted), STRIP, laboratory())
    held = np.full(woven.net.nodes.size, TIED)
    lose(woven.net, 2, woven.anchors.index("L1"), held, np.ones(woven.net.kind.size, bool))
    on_wall = {name: held[r] == TIED for r, name in enumerate(woven.limbs) if ">" in name}
    assert not any(stands for name, stands in on_wall.items() if name.endswith("L1"))
    assert {stands for name, stands in on_wall.items() if name.endswith("L2")} == {knotted}
