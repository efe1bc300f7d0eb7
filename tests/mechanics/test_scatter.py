"""Monte Carlo: closed forms of brittle bundles, independence of threads, and the moved-site path."""

import numpy as np
import pytest

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.cyclic import CyclicLaw, cycle
from cuffwright.mechanics.kernels.draws import gather
from cuffwright.mechanics.net import ON_ANCHOR, ON_BOTTOM
from cuffwright.mechanics.plate import plate
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.scatter import CHUNK, STEP, Draws, Spread, draw, member_intervals, scatter, summarise
from cuffwright.mechanics.sheet import patch_weights
from cuffwright.mechanics.surroundings import ALONE, Region, Surroundings
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, bridging, double_row, laboratory, single_row
from tests.mechanics.test_energy import path, pulled, rigid_net

SPREAD = Spread.from_facts(Citing(load_book()), "laboratory")
STILL = SPREAD.scaled(0.0)


def drawn(layout, spread=SPREAD, draws=200, **how):
    """Draws of a laboratory construct, read at 180 N."""
    return scatter(weave(layout, STRIP, laboratory()), spread, seed=7, draws=draws, load=180.0, **how)


def bundle(strengths):
    """Ultimate of two equal brittle holes on a rigid tendon, through the ramp itself."""
    at, anchors = [(5.0, 0.0), (15.0, 0.0)], [(5.0, 1000.0, 0.0), (15.0, 1000.0, 0.0)]
    net = rigid_net(at, anchors, [[(ON_ANCHOR, i), (ON_BOTTOM, i)] for i in range(2)], [1 / 50.0] * 2)
    net = net._replace(bearing=np.full(2, 30.0), tear=np.asarray(strengths, float), loss=np.full(2, 1e-3))
    return pulled(net, path(net, 0.0), 8.0, 0.02).force.max()


@pytest.mark.law
def test_two_brittle_holes_hold_max_of_twice_the_weaker_and_the_stronger():
    """The ramp of two equal brittle holes meets max(2 X_min, X_max), whose mean over N(46, 9.2) is 81.80 N."""
    for pair in ((46.0, 46.0), (40.0, 55.0), (20.0, 60.0)):
        assert bundle(pair) == pytest.approx(max(2.0 * min(pair), max(pair)), rel=0.01)
    sample = np.random.default_rng(1).normal(46.0, 9.2, (1_000_000, 2))
    exact = np.maximum(2.0 * sample.min(axis=1), sample.max(axis=1)).mean()
    assert exact == pytest.approx(81.80, abs=0.05)
    few = sample[:150]
    formula = np.maximum(2.0 * few.min(axis=1), few.max(axis=1)).mean()
    assert np.mean([bundle(pair) for pair in few]) == pytest.approx(formula, rel=0.005)


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_spread_of_one_hole_is_the_normal_law():
    """Scattered capacities follow the normal law: N(46, 9.2) lies below 40 N in 0.2571 of draws."""
    woven = weave(single_row(), STRIP, laboratory())
    only = Spread(hole=0.2, tissue=0.0, anchor=0.0, tension=0.0, strength=0.0, placement=0.0)
    from cuffwright.mechanics.scatter import scatter_members

    _, (tear, *_) = scatter_members(woven, only, np.random.default_rng(5), 20_000)
    share = (46.0 * tear[:, :4] / woven.net.tear[:4] < 40.0).mean()
    assert share == pytest.approx(0.2571, abs=0.005)


def test_without_spread_every_draw_is_the_plain_ramp():
    """With nothing scattered the moved-site path gives the ramp, its gap, stiffness and member loads."""
    woven = weave(double_row(), STRIP, laboratory())
    ramp = pull(woven, step=STEP)
    found = draw(woven, STILL, seed=1, chunk=0, load=180.0, size=2)
    assert found.ultimate == pytest.approx([ramp.uncapped] * 2, rel=1e-8)
    assert found.gap == pytest.approx([ramp.gap(180.0)] * 2, rel=1e-6)
    assert found.stiffness == pytest.approx([ramp.stiffness] * 2, rel=1e-6)
    shares = ramp.shares(180.0)
    expected = [*shares.limbs.values(), *shares.holes.values(), *shares.anchors.values()]
    assert found.loads[0] == pytest.approx(expected, rel=1e-5)
    kinds = member_intervals(found)
    assert kinds["anchor"][0].middle == pytest.approx(shares.anchors["L1"], rel=1e-5)
    assert ramp.first.kind == "hole"
    assert woven.holes[found.member[0]] == ramp.first.name


AROUND = (
    ALONE,
    Surroundings(front=3.0, back=1.0, free=True),
    Surroundings(regions=(Region(7.0, 1.5, 1.2), Region(20.0, 0.8)), pull_degrees=10.0, free=True),
    Surroundings(missing=((8.5, 13.0), (11.5, 13.0), (10.0, 7.0))),
)


@pytest.mark.req("REQ-028")
@pytest.mark.parametrize("around", AROUND)
def test_gathered_flexibility_is_the_sheets_own(around):
    """The compiled gather of moved sites gives the flexibility the sheet gives."""
    woven = weave(bridging(), STRIP, laboratory(), around)
    at = woven.net.at + np.random.default_rng(2).normal(0.0, 0.3, woven.net.at.shape) * np.array([1.0, 0.0])
    A, e, ride = np.empty((16, 16)), np.empty(16), np.empty((16, 3))
    sheet = woven.sheet
    gather(plate(woven), patch_weights(at[:, 0], sheet.u), patch_weights(at[:, 1], sheet.v), A, e, ride)
    flexibility, edge = sheet.flexibility(at)
    assert pytest.approx(flexibility, rel=1e-9, abs=1e-12) == A
    assert e == pytest.approx(edge, rel=1e-9)
    assert ride == pytest.approx(sheet.grip(at) @ sheet.ride, rel=1e-9, abs=1e-12)


@pytest.mark.req("REQ-028")
@pytest.mark.parametrize("around", AROUND)
def test_draws_without_spread_are_the_ramp_in_any_surroundings(around):
    """Held sides, regions, missing tissue, a free muscle end: the draws' own path gives the ramp."""
    woven = weave(bridging(), STRIP, laboratory(), around)
    ramp, found = pull(woven, step=STEP), draw(woven, STILL, seed=1, chunk=0, load=150.0, size=1)
    assert found.ultimate[0] == pytest.approx(ramp.uncapped, rel=1e-7)
    assert found.gap[0] == pytest.approx(ramp.gap(150.0), rel=1e-6)


@pytest.mark.req("REQ-026")
def test_result_does_not_depend_on_threads_or_order_of_chunks():
    """One thread, two threads and chunks taken backwards give the same draws to the last bit."""
    one, two = drawn(bridging()), drawn(bridging(), threads=2)
    assert np.array_equal(one.ultimate, two.ultimate)
    assert np.array_equal(one.gap, two.gap, equal_nan=True)
    woven = weave(bridging(), STRIP, laboratory())
    chunks = [draw(woven, SPREAD, seed=7, chunk=n, load=180.0) for n in (1, 0)]
    assert np.array_equal(Draws.join(reversed(chunks)).ultimate, one.ultimate)
    assert not np.array_equal(chunks[0].ultimate, chunks[1].ultimate)


def test_cancelling_stops_before_the_next_chunk():
    """A cancel between chunks gives no result, and no further chunk is run."""
    asked = []

    def cancelled():
        asked.append(1)
        return len(asked) > 1

    assert drawn(single_row(), draws=4 * CHUNK, cancelled=cancelled) is None
    assert 2 <= len(asked) <= 4


def test_wider_spread_gives_a_wider_interval_and_a_lower_mean():
    """Twice the spread widens the ultimate's range; brittle members make the mean fall below the even ramp."""
    wide = summarise(drawn(bridging(), SPREAD.scaled(2.0))).ultimate
    narrow = summarise(drawn(bridging(), SPREAD.scaled(0.5))).ultimate
    assert wide.high - wide.low > narrow.high - narrow.low
    assert wide.middle < narrow.middle < pull(weave(bridging(), STRIP, laboratory())).ultimate


def test_a_draw_without_scatter_slides_as_the_ramp_does():
    """Friction settled roughly in a draw moves a knotless repair's strength, gap and stiffness by under 0.3 %."""
    woven = weave(bridging(knotted=False), STRIP, laboratory())
    draw, ramp = scatter(woven, STILL, seed=1, draws=1, load=100.0), pull(woven, step=0.5)
    assert draw.ultimate[0] == pytest.approx(ramp.uncapped, rel=3e-3)
    assert draw.gap[0] == pytest.approx(ramp.gap(100.0), rel=3e-3)
    assert draw.stiffness[0] == pytest.approx(ramp.stiffness, rel=3e-3)


def test_summary_says_what_the_draws_say():
    """Shares of first failure add up to one, the reached share counts the draws, and the doubt widens the range."""
    draws = drawn(single_row())
    found = summarise(draws)
    assert sum(found.first.values()) == pytest.approx(1.0)
    assert found.reached == pytest.approx((draws.ultimate >= 180.0).mean())
    assert found.ultimate.middle == pytest.approx(draws.ultimate.mean())
    plain = np.quantile(draws.ultimate, (0.05, 0.95))
    assert found.ultimate.low < plain[0]
    assert found.ultimate.high > plain[1]
    weak = summarise(scatter(draws.woven, SPREAD, seed=7, draws=100, load=2000.0))
    assert weak.gap is None
    assert weak.reached == 0.0


def test_soft_bone_moves_the_first_failure_to_anchors():
    """At 300, 120 and 80 N anchor strength the first failure moves from holes to anchors (published trend)."""
    woven = weave(bridging(), STRIP, laboratory())
    shares = []
    for hold in (300.0, 120.0, 80.0):
        net = woven.net._replace(hold=np.full(4, hold))
        found = summarise(scatter(type(woven)(**{**vars(woven), "net": net}), SPREAD, seed=7, draws=200, load=100.0))
        shares.append(sum(share for (kind, _), share in found.first.items() if kind == "anchor"))
    assert shares[0] < 0.1 < shares[1] < shares[2]


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_cyclic_slot_law():
    """Half of capacity, 200 cycles, 2.236 mm, powers 2 and 0.3: the slot grows by 2.181 mm from the first cycle.

    The law counts from cycle 1; from zero cycles it would be 2.740 mm.
    """
    law = CyclicLaw(2.236, 2.0, 0.3)
    assert law.growth(np.array([0.5]), 1, 200) == pytest.approx(2.236 * 0.25 * (200**0.3 - 1.0))
    assert law.growth(np.array([0.5]), 1, 200) == pytest.approx(2.181, abs=5e-4)


def test_cycling_opens_the_gap_and_stops_where_a_member_fails():
    """The gap grows with every count; a load above the ultimate gives no gap and names what failed."""
    law = CyclicLaw.from_facts(Citing(load_book()))
    woven = weave(double_row(), STRIP, laboratory())
    found = cycle(woven, law, 180.0)
    assert found.lost is None
    assert (np.diff(found.gaps) > 0.0).all()
    assert found.gaps[0] == pytest.approx(pull(woven).gap(180.0), rel=0.02)
    above = cycle(woven, law, 2000.0)
    assert above.gaps == (None,) * len(above.counts)
    assert above.lost in (*woven.holes, *woven.limbs, *woven.anchors)
    assert above.gap(1) is None
