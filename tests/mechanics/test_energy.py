"""The compiled energy against closed forms and differences; small nets with a rigid tendon."""

import numpy as np
import pytest

from cuffwright.mechanics.kernels.chain import TENSIONED, TIED, lengths
from cuffwright.mechanics.kernels.energy import assemble, spring
from cuffwright.mechanics.kernels.ramp import EVEN, rise
from cuffwright.mechanics.kernels.work import Ties, workspace
from cuffwright.mechanics.net import HOLE, ON_ANCHOR, ON_BOTTOM, ON_TOP, WRAP, Net
from cuffwright.mechanics.pull import ENDLESS
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, bridging, laboratory

RIGID = 1e7


def rigid_net(at, anchors, ropes, give, *, kind=HOLE, stiffness=None, press=RIGID):
    """A net whose tendon and bearings do not give; ``ropes`` are node lists, ``give`` mm/N per rope."""
    n = len(at)
    longest = max(len(rope) for rope in ropes)
    on, which = np.zeros((len(ropes), longest), np.int64), np.zeros((len(ropes), longest), np.int64)
    for r, rope in enumerate(ropes):
        on[r, : len(rope)] = [k for k, _ in rope]
        which[r, : len(rope)] = [i for _, i in rope]
    each, all_ropes = np.ones(n), np.ones(len(ropes))
    return Net(
        kind=np.broadcast_to(np.asarray(kind, np.int64), n).copy(),
        at=np.array(at, float),
        bearing=each * RIGID,
        tear=each * 1e9,
        loss=each,
        press=each * press,
        thick=each * 5.0,
        stiffness=RIGID * np.eye(2 * n) if stiffness is None else stiffness,
        edge=np.zeros(2 * n),
        on=on,
        which=which,
        nodes=np.array([len(rope) for rope in ropes], np.int64),
        tension=all_ropes * 15.0,
        give=np.array(give),
        strength=all_ropes * 1e9,
        stage=np.zeros(len(ropes), np.int64),
        anchor=np.array(anchors, float),
        hold=np.ones(len(anchors)) * 1e9,
        thread=1e15,
        friction=0.0,
        stick=20.0,
        hard=0.0,
        bend=1e-9,
        floor=0.0,
        preload=0.0,
        part=np.zeros(on.shape, np.int64),
        rub=np.zeros(len(ropes)),
        carry=np.tile([0.0, 1.0], n),
        own=0.0,
        lead=1.0,
        swing=np.zeros(2 * n),
        mate=np.full(len(ropes), -1),
        eyelet=0.0,
    )


def state(net, shift):
    """Unknowns with every rope contact and the tissue moved medially by ``shift`` mm."""
    x = np.zeros(5 * net.kind.size + 1)
    x[1:-1:5] = x[3:-1:5] = -shift
    x[-1] = shift
    return x


def pulled(net, rest, reach, step=0.25):
    """Ramp a net whose ropes have the slack lengths ``rest``."""
    x = state(net, 0.0)
    return rise(net, x, 1.0 / net.give[:, None], rest[:, None], np.zeros_like(net.at), step, reach, ENDLESS, EVEN)


def path(net, shift):
    """Rope lengths with the tendon moved medially by ``shift`` mm."""
    out = np.zeros((net.nodes.size, 1))
    lengths(net, state(net, shift), out)
    return out[:, 0]


def straight(us, stiff, stiffness=None):
    """Straight ropes from anchors 1 m lateral to holes at ``us``, of ``stiff`` N/mm each."""
    at = [(u, 0.0) for u in us]
    anchors = [(u, 1000.0, 0.0) for u in us]
    ropes = [[(ON_ANCHOR, i), (ON_BOTTOM, i)] for i in range(len(us))]
    return rigid_net(at, anchors, ropes, 1.0 / np.asarray(stiff), stiffness=stiffness)


def shares_at(curve, load):
    """Rope tensions where the clamp force is ``load``."""
    return np.array([np.interp(load, curve.force, column) for column in curve.tension.T])


@pytest.mark.req("REQ-031")
@pytest.mark.law
@pytest.mark.parametrize(("slack", "expected"), [(0.0, (72.0, 108.0)), (0.5, (84.0, 96.0))])
def test_two_springs_share_by_stiffness(slack, expected):
    """40 and 60 N/mm under 180 N carry 72 and 108 N; with 0.5 mm slack in the second, 84 and 96 N (statics)."""
    net = straight((5.0, 15.0), (40.0, 60.0))
    curve = pulled(net, path(net, 0.0) + np.array([0.0, slack]), 3.0, 0.05)
    assert shares_at(curve, 180.0) == pytest.approx(expected, rel=2e-4)


@pytest.mark.req("REQ-029")
@pytest.mark.law
def test_four_ropes_on_a_rigid_bar_follow_statics():
    """Ropes at u 3, 8, 12, 17 under 180 N at u 12 carry 21.23, 38.21, 51.79, 68.77 N: direct load plus moment."""
    us = np.array([3.0, 8.0, 12.0, 17.0])
    turn = np.zeros(8)
    turn[1::2] = us - 12.0
    hinge = RIGID * (np.eye(8) - np.outer(turn, turn) / (turn @ turn))
    net = straight(us, (50.0,) * 4, hinge)
    curve = pulled(net, path(net, 0.0), 2.0, 0.05)
    centred = us - us.mean()
    statics = 45.0 + 180.0 * 2.0 * centred / (centred @ centred)
    assert statics == pytest.approx([21.23, 38.21, 51.79, 68.77], abs=0.005)
    assert shares_at(curve, 180.0) == pytest.approx(statics, rel=1e-3)


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_mattress_legs_stretch_as_their_geometry_says():
    """Legs 2.5 mm to each side, moved 2 mm: 1.4031 mm longer, 31.84 N, resisting 39.78 N (Pythagoras)."""
    rope = [(ON_ANCHOR, 0), (ON_BOTTOM, 0), (ON_TOP, 0), (ON_TOP, 1), (ON_BOTTOM, 1), (ON_ANCHOR, 0)]
    net = rigid_net([(2.5, 0.0), (7.5, 0.0)], [(5.0, 0.0, 0.0)], [rope], [1.0 / 12.0])
    assert path(net, 2.0) - path(net, 0.0) == pytest.approx(1.4031, abs=5e-5)
    curve = pulled(net, path(net, 0.0) - 15.0 / 12.0, 2.0)
    assert curve.clamp[-1] == pytest.approx(2.0)
    assert curve.tension[-1, 0] == pytest.approx(31.84, abs=0.01)
    assert curve.force[-1] == pytest.approx(39.78, abs=0.02)


@pytest.mark.req("REQ-031")
@pytest.mark.law
@pytest.mark.parametrize(("moved", "longer"), [(0.5, 0.0), (2.0, 2.0)])
def test_simple_stitch_has_lost_motion(moved, longer):
    """Round an edge 1 mm lateral of its anchor, the rope grows only by twice what passes the anchor."""
    rope = [(ON_ANCHOR, 0), (ON_BOTTOM, 0), (ON_TOP, 0), (ON_TOP, 1), (ON_BOTTOM, 1), (ON_ANCHOR, 0)]
    net = rigid_net([(5.0, 4.0), (5.0, 11.5)], [(5.0, 10.5, 0.0)], [rope], [0.1], kind=[HOLE, WRAP])
    assert path(net, moved) - path(net, 0.0) == pytest.approx([longer], abs=1e-6)


@pytest.mark.req("REQ-031")
@pytest.mark.law
def test_thickness_law():
    """5 N/mm in a 5 mm tendon pressed 2 mm deep: force 16.67 N and energy 13.85 N mm (integral of the law)."""
    net = rigid_net([(5.0, 0.0)], [(5.0, 9.0, 0.0)], [[(ON_ANCHOR, 0), (ON_BOTTOM, 0)]], [0.1], press=5.0)
    x = state(net, 0.0)
    x[4] = 2.0
    work = workspace(net)
    slack = np.zeros(1, np.int64)
    nothing, none, rope = np.zeros(1), np.zeros((1, 2)), np.ones((1, 1))
    energy = assemble(net, x, False, Ties(slack, rope, rope, rope, none, none, nothing), work)
    assert energy == pytest.approx(13.85, abs=0.005)
    assert work.g[4] == pytest.approx(16.67, abs=0.005)


@pytest.mark.req("REQ-031")
@pytest.mark.law
@pytest.mark.parametrize(("d", "force", "energy"), [(1.0, 30.0, 15.0), (3.0, 60.0, 120.0)])
def test_bearing_law(d, force, energy):
    """30 N/mm up to 60 N, then flat: 30 N and 15 N mm at 1 mm, 60 N and 120 N mm at 3 mm."""
    assert spring(d, 30.0, 60.0, 0.0)[:2] == pytest.approx((energy, force))


@pytest.mark.law
@pytest.mark.parametrize("knotted", [True, False])
def test_gradient_and_hessian_agree_with_differences(knotted):
    """The energy's slope and curvature match central differences with ropes tied and pulled, torn, sliding, rubbing."""
    net = weave(bridging(knotted=knotted), STRIP, laboratory()).net
    rng = np.random.default_rng(3)
    n, ropes = net.kind.size, net.nodes.size
    x = rng.normal(0.0, 1.5, 5 * n + 1)
    x[4:-1:5] = rng.uniform(-0.3, 2.0, n)
    states = np.array([TIED, TENSIONED] * ropes)[:ropes]
    long = np.zeros((ropes, net.part.max() + 1))
    lengths(net, x, long)
    stiff, rest = rng.uniform(15.0, 300.0, long.shape), long - rng.uniform(0.5, 2.0, long.shape)
    limit = np.full(long.shape, 4.0)
    slot, tied, grip = rng.normal(0, 0.2, (n, 2)), rng.normal(0, 0.2, (n, 2)), rng.uniform(0, 4.0, n)

    def at(y):
        work = workspace(net)
        e = assemble(net, y, True, Ties(states, stiff, rest, limit, slot, tied, grip), work)
        return e, work.g, work.H

    _, g, H = at(x)
    step = 1e-5
    for i in range(x.size):
        if i % 5 < 2 and i < 5 * n and net.kind[i // 5] == 2:
            continue
        up, down = x.copy(), x.copy()
        up[i] += step
        down[i] -= step
        (e1, g1, _), (e0, g0, _) = at(up), at(down)
        assert (e1 - e0) / (2 * step) == pytest.approx(g[i], rel=1e-6, abs=2e-5)
        assert (g1 - g0) / (2 * step) == pytest.approx(H[i], rel=1e-5, abs=1e-4)
    assert np.allclose(H, H.T)
    assert np.linalg.eigvalsh(H).min() > 0.0
