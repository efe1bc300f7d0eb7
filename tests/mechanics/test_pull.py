"""Whole ramps: stored regressions, the plain twin, balance of forces, mirror images, refinement."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.mechanics import plain
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, bridging, double_row, laboratory, single_row

LAYOUTS = {
    "single row": single_row(),
    "double row": double_row(),
    "bridging knotted": bridging(),
    "bridging knotless": bridging(knotted=False),
}
EVERY = pytest.mark.parametrize("name", LAYOUTS)


def ramp(name, **how):
    """One laboratory construct, with the contested factor as the stored regressions have it."""
    return pull(weave(LAYOUTS[name], STRIP, laboratory(bridging_factor=True)), **how)


@pytest.mark.parametrize(
    ("name", "ultimate", "gap"),
    [
        ("single row", 238.8, 3.275),
        ("double row", 358.3, 1.665),
        ("bridging knotted", 490.8, 2.549),
        ("bridging knotless", 509.1, 4.167),
    ],
)
def test_stored_ramps(name, ultimate, gap):
    """Within 1 % of the ramps of an earlier, separate program: 0.05 mm steps, no scatter, no suture friction.

    Gap at 180 N.

    Readings that reproduce them: mattress holes level with their anchors (v 1), each anchor's give counted once
    per suture, limbs ending in a knotless clamp, the gap averaged along the tendon edge.
    """
    parameters = replace(laboratory(bridging_factor=True), rub={"slides": 0.0, "eyelet": 50.0, "tied": 0.0})
    found = pull(weave(LAYOUTS[name], STRIP, parameters), step=0.05)
    assert found.ultimate == pytest.approx(ultimate, rel=0.01)
    assert found.gap(180.0) == pytest.approx(gap, rel=0.01)


@pytest.mark.req("REQ-028")
@EVERY
def test_plain_twin_agrees(name):
    """The compiled ramp and the plain twin, written two ways, agree to 1e-6 and lose the same members in order."""
    fast, slow = ramp(name), ramp(name, plain=True)
    assert slow.curve.force.size == fast.curve.force.size
    assert slow.curve.force == pytest.approx(fast.curve.force, rel=1e-6, abs=1e-4)
    assert slow.curve.edge == pytest.approx(fast.curve.edge, rel=1e-6, abs=1e-6)
    assert slow.curve.tension == pytest.approx(fast.curve.tension, rel=1e-5, abs=1e-4)
    assert slow.curve.anchor == pytest.approx(fast.curve.anchor, rel=1e-5, abs=1e-4)
    assert np.array_equal(slow.curve.events, fast.curve.events)
    assert slow.ultimate == pytest.approx(fast.ultimate, rel=1e-6)
    assert slow.yield_load == pytest.approx(fast.yield_load, rel=1e-6)


@EVERY
def test_smaller_steps_change_the_ultimate_little(name):
    """From 0.05 to 0.25 and 0.5 mm steps the ultimate moves by no more than 2.5 %."""
    fine = ramp(name, step=0.05).uncapped
    for step in (0.25, 0.5):
        assert ramp(name, step=step).uncapped == pytest.approx(fine, rel=0.025)


@pytest.mark.req("REQ-029")
@pytest.mark.law
def test_clamp_force_is_the_pull_of_all_sutures_on_their_anchors():
    """Statics: without friction the anchors of a single row take exactly the clamp's force."""
    net = weave(single_row(), STRIP, laboratory()).net._replace(friction=0.0)
    maps = plain.Maps(net)
    z, load = plain.tie(net, maps)
    for further in (1.0, 3.0):
        load.clamp += further
        z = plain.settle(maps, z, load)
        d, long, path = maps.ropes(z)
        tension = (load.stiff * (path - load.rest))[:, 0]
        last = net.nodes - 2
        rows = np.arange(net.nodes.size)
        ends = d[rows, 0] / long[rows, 0, None] - d[rows, last] / long[rows, last, None]
        pulls = (np.maximum(tension, 0.0)[:, None] * ends).sum(axis=0)
        assert -pulls[1] == pytest.approx(plain.clamp_force(net, z, load.clamp)[0], rel=1e-6)
        assert pulls[0] == pytest.approx(0.0, abs=1e-5)


@pytest.mark.law
@EVERY
def test_force_rises_until_something_fails(name):
    """Before the first member goes, more clamp motion never means less force, and utilisations stay below one."""
    found = ramp(name)
    first = int(found.curve.events[0, 0])
    assert (np.diff(found.curve.force[:first]) > 0.0).all()
    used = found.shares(0.5 * found.uncapped)
    assert max(*used.limbs_used.values(), *used.anchors_used.values()) < 1.0


def mirrored(layout, strip):
    """The layout reflected front to back about the middle of the tear."""
    middle = 2.0 * strip.front + strip.width
    return replace(
        layout,
        anchors=tuple(replace(a, u=middle - a.u) for a in layout.anchors),
        holes=tuple(replace(h, u=middle - h.u) for h in layout.holes),
    )


@pytest.mark.req("REQ-003")
@pytest.mark.law
@settings(max_examples=8)
@given(
    name=st.sampled_from(sorted(LAYOUTS)),
    shifts=st.lists(st.floats(-1.2, 1.2), min_size=4, max_size=4),
    front=st.floats(0.0, 8.0),
    width=st.floats(19.0, 30.0),
)
def test_a_mirrored_repair_holds_the_same(name, shifts, front, width):
    """Reflecting a repair front to back changes neither ultimate nor gap nor any suture's tension."""
    strip = TendonStrip(front, width, 12.0, 5.0)
    base = LAYOUTS[name]
    layout = Layout(
        base.pattern,
        tuple(replace(a, u=a.u + front + s) for a, s in zip(base.anchors, shifts, strict=False)),
        tuple(replace(h, u=h.u + front + shifts[n % 4] / 4.0) for n, h in enumerate(base.holes)),
        base.stitches,
    )
    one, other = (pull(weave(x, strip, laboratory())) for x in (layout, mirrored(layout, strip)))
    assert other.ultimate == pytest.approx(one.ultimate, rel=1e-5)
    assert other.gap(100.0) == pytest.approx(one.gap(100.0), rel=1e-5, abs=1e-6)
    assert other.curve.tension[3] == pytest.approx(one.curve.tension[3], rel=1e-5, abs=1e-4)


@pytest.mark.req("REQ-020")
def test_a_load_the_repair_never_reaches_is_said():
    """Gap and shares beyond the ultimate are None, never zero."""
    found = ramp("single row")
    assert found.gap(found.uncapped + 1.0) is None
    assert found.shares(found.uncapped + 1.0) is None
    assert found.gap(found.uncapped - 1.0) > found.gap(100.0) > 0.0


@pytest.mark.req("REQ-015")
def test_the_tendon_itself_caps_the_repair():
    """A repair stronger than the tendon is reported at the tendon's strength, with a caution."""
    woven = weave(bridging(), STRIP, replace(laboratory(bridging_factor=True), intact=300.0))
    found = pull(woven)
    assert found.ultimate == woven.cap < found.uncapped
    assert "beyond tendon capacity" in found.cautions[0].text


def test_a_suture_sunk_too_deep_is_said():
    """When a suture presses deeper than the limit before the peak, the result carries a caution with its load."""
    woven = weave(bridging(), STRIP, replace(laboratory(bridging_factor=True), depth_limit=0.5))
    codes = [c.code for c in pull(woven).cautions]
    assert codes == ["indentation"]
    assert ramp("bridging knotted").cautions == ()


@pytest.mark.law
def test_stronger_members_never_make_a_weaker_repair():
    """More capacity in every hole, anchor and suture never lowers the ultimate."""
    weak = weave(double_row(), STRIP, laboratory())
    ultimates = []
    for factor in (0.7, 1.0, 1.4):
        net = weak.net
        net = net._replace(tear=net.tear * factor, hold=net.hold * factor, strength=net.strength * factor)
        ultimates.append(pull(replace(weak, net=net)).uncapped)
    assert ultimates == sorted(ultimates)


def test_gap_profile_averages_to_the_gap():
    """The gap along the tendon edge averages to the gap, and is even for an even repair."""
    found = ramp("double row")
    u, gap = found.gap_profile(180.0)
    assert np.trapezoid(gap, u) / STRIP.width == pytest.approx(found.gap(180.0), rel=1e-6)
    assert gap == pytest.approx(gap[::-1], rel=1e-4)
