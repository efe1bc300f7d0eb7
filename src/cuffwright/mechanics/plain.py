"""The same ramp in plain numpy, written a second time another way; it answers until the kernels are warm.

Here every rope node is an affine map of all unknowns, rope terms are whole-array products, Newton solves dense,
and tying finds the clamp motion that gives the preload by bracketing, not by freeing the clamp.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.limits import UNTIED
from cuffwright.mechanics.net import HOLE, ON_ANCHOR, ROOM, STRAP, Curve, Floats, Net
from cuffwright.mechanics.plain_chains import Load
from cuffwright.mechanics.plain_ropes import PER_SITE, Maps, keep_slips, rope_pulls, rub_limits, tensions

TOLERANCE = 1e-7
"""Numerical choice: largest residual force left by Newton, N."""

ITERATIONS = 200
"""Numerical choice: Newton steps allowed for one state; three to five are usual."""

ARMIJO = 1e-4
"""Numerical choice: share of the predicted fall in energy that a step must bring."""

TIE = 1e-6
"""Numerical choice: members whose utilisation is this close to the highest count as equal; the first one goes."""

BRACKET = 2.0
"""Numerical choice: first width of the search for the tied clamp motion, mm."""

LOST = 25.0
"""Numerical choice: clamp motion beyond which tying has failed, mm."""

EVEN = 3e-5
"""Numerical choice: change of a rope's friction (N) below which sliding has settled."""

PASSES = 60
"""Numerical choice: passes over the ropes' friction allowed in one load step."""

PRECISE = 1e-12
"""Numerical choice: precision of the tied clamp motion, mm."""


def _huber(d: Floats, first: Floats, tear: Floats, hard: float) -> tuple[Floats, Floats, Floats]:
    """Energy, force and stiffness of springs that yield at ``tear`` newtons."""
    limit = tear / first
    past = np.maximum(d - limit, 0.0)
    near = np.minimum(d, limit)
    energy = 0.5 * first * near**2 + tear * past + 0.5 * hard * first * past**2
    return energy, first * near + hard * first * past, np.where(past > 0.0, hard * first, first)


def _radial(vector: Floats, law: tuple[Floats, Floats, Floats], first: Floats) -> tuple[float, Floats, Floats]:
    """Energy, gradient (n, 2) and Hessian blocks (n, 2, 2) of springs along ``vector`` (n, 2)."""
    energy, force, stiff = law
    d = np.linalg.norm(vector, axis=1)
    safe = np.where(d > 0.0, d, 1.0)
    unit = vector / safe[:, None]
    across = np.where(d > 0.0, force / safe, first)
    blocks = across[:, None, None] * np.eye(2) + (stiff - across)[:, None, None] * unit[:, :, None] * unit[:, None, :]
    return float(energy.sum()), force[:, None] * unit, blocks


def energy(maps: Maps, z: Floats, load: Load) -> tuple[float, Floats, Floats]:
    """Energy (N mm), gradient and Hessian at ``z``; the energy is infinite where a site is crushed through."""
    net, n = maps.net, maps.net.kind.size
    X, Y, w = z[: 2 * n].reshape(n, 2), z[2 * n : 4 * n].reshape(n, 2), z[4 * n :]
    g, H = np.zeros(PER_SITE * n), np.zeros((PER_SITE * n, PER_SITE * n))
    if (w >= net.thick).any():
        return np.inf, g, H
    x, y, p = np.arange(2 * n), 2 * n + np.arange(2 * n), 4 * n + np.arange(n)
    shift = Y.ravel() + net.carry * load.clamp
    pull = net.stiffness @ shift
    total = 0.5 * float(shift @ pull) + 0.5 * net.own * load.clamp**2
    g[y] += pull
    H[np.ix_(y, y)] += net.stiffness
    bears = (net.kind != STRAP).astype(float)
    first = net.bearing
    e, f, blocks = _radial(
        (X - Y - load.slot) * bears[:, None],
        _huber(np.linalg.norm(X - Y - load.slot, axis=1) * bears, first, net.tear, net.hard),
        first,
    )
    B = _spread(blocks * bears[:, None, None])
    total += e
    g[x] += (f * bears[:, None]).ravel()
    g[y] -= (f * bears[:, None]).ravel()
    H[np.ix_(x, x)] += B + np.diag(np.repeat(1.0 - bears, 2))
    H[np.ix_(y, y)] += B
    H[np.ix_(x, y)] -= B
    H[np.ix_(y, x)] -= B
    stick = np.where(load.grip > 0.0, net.stick, 0.0)
    limit = np.where(load.grip > 0.0, load.grip, 1.0)
    away = Y - load.tied
    e_, f_, s_ = _huber(np.linalg.norm(away, axis=1), np.full(n, net.stick), limit, 0.0)
    on = stick > 0.0
    e, f, blocks = _radial(away, (e_ * on, f_ * on, s_ * on), stick)
    total += e
    g[y] += f.ravel()
    H[np.ix_(y, y)] += _spread(blocks)
    left = np.where(w > 0.0, 1.0 - w / net.thick, 1.0)
    wall = net.press * net.thick**2 * (-np.log(left) - w / net.thick)
    total += float(np.where(w > 0.0, wall, 0.5 * net.press * w**2).sum())
    g[p] += net.press * w / left
    H[p, p] += net.press / left**2
    e, f, h = rope_pulls(maps, z, load)
    return total + e, g + f, H + h


def _spread(blocks: Floats) -> Floats:
    """Block-diagonal matrix (2n, 2n) of 2 x 2 ``blocks`` (n, 2, 2)."""
    n = blocks.shape[0]
    whole = np.zeros((n, 2, n, 2))
    whole[np.arange(n), :, np.arange(n), :] = blocks
    return whole.reshape(2 * n, 2 * n)


def settle(maps: Maps, z: Floats, load: Load) -> Floats:
    """The state of least energy, by damped Newton from ``z``."""
    e, g, H = energy(maps, z, load)
    for _ in range(ITERATIONS):
        if np.abs(g).max() < TOLERANCE:
            break
        step = np.linalg.solve(H, -g)
        fall, scale = float(g @ step), 1.0
        while scale > PRECISE:
            trial = energy(maps, z + scale * step, load)
            if trial[0] <= e + ARMIJO * scale * fall + TOLERANCE**2 * abs(e):
                break
            scale *= 0.5
        else:
            break
        z = z + scale * step
        e, g, H = trial
    return z


def settle_sliding(maps: Maps, z: Floats, load: Load) -> Floats:
    """Settle with ropes that slide at the capstan's limit, their friction taken from the state itself."""
    for _ in range(PASSES):
        z = settle(maps, z, load)
        before = load.limit
        load.limit = rub_limits(maps, z, tensions(maps, z, load), before)
        if np.abs(load.limit - before).max() < EVEN:
            break
    return z


def clamp_force(net: Net, z: Floats, clamp: float) -> tuple[float, Floats]:
    """Clamp force (N) and each site's force on the tissue (2n) N."""
    n = net.kind.size
    pull = net.stiffness @ (z[2 * n : 4 * n] + net.carry * clamp)
    return float(net.carry @ pull) + net.own * clamp, pull


def tie(net: Net, maps: Maps) -> tuple[Floats, Load]:
    """Tie the ropes stage by stage under the preload; returns the tied state and what then holds."""
    n, ropes = net.kind.size, net.nodes.size
    z = np.zeros(PER_SITE * n)
    path = maps.ropes(z)[2]
    numbers, last = np.arange(path.shape[1])[None, :], net.part[maps.rows[0], maps.rows[1]][:, None]
    ends = (numbers == 0) * 1.0 + (numbers == last)
    stiff = 1.0 / np.where(numbers > last, 1.0, path / net.thread + 0.5 * net.give[:, None] * ends)
    nothing = np.zeros((n, 2))
    none = np.zeros(ropes, bool)
    load = Load(0.0, none, none, stiff, np.zeros(path.shape), np.zeros(path.shape), nothing, nothing, np.zeros(n))
    for stage in sorted({int(s) for s in net.stage}):
        load.live = net.stage <= stage
        load.pulled = net.stage == stage
        z, load.clamp = _balance(maps, z, load)
        path = maps.ropes(z)[2]
        load.rest = np.where(load.pulled[:, None], path - net.tension[:, None] / stiff, load.rest)
    load.pulled = np.zeros(ropes, bool)
    load.tied = z[2 * n : 4 * n].reshape(n, 2).copy()
    load.grip = _grips(net, z)
    return z, load


def _balance(maps: Maps, z: Floats, load: Load) -> tuple[Floats, float]:
    """State and clamp motion (mm) at which the clamp carries just the preload."""
    net = maps.net
    state = [z]

    def excess(clamp: float) -> float:
        load.clamp = clamp
        state[0] = settle(maps, state[0], load)
        return clamp_force(net, state[0], clamp)[0] - net.preload

    low = high = load.clamp
    width = BRACKET
    while excess(low) > 0.0:
        low, width = low - width, 2.0 * width
        if low < -LOST:
            raise OutsideValidity(UNTIED)
    while excess(high) < 0.0:
        high, width = high + width, 2.0 * width
        if high > LOST:
            raise OutsideValidity(UNTIED)
    clamp = float(brentq(excess, low, high, xtol=PRECISE, rtol=4.0 * np.finfo(float).eps))
    excess(clamp)
    return state[0], clamp


def _grips(net: Net, z: Floats) -> Floats:
    """Friction limit (n) N of every site at its present indentation."""
    w = np.maximum(z[4 * net.kind.size :], 0.0)
    limit: Floats = net.friction * net.press * w / (1.0 - w / net.thick)
    return limit


def _anchor_pulls(maps: Maps, z: Floats, tension: Floats) -> Floats:
    """Size of the summed pulls of the ropes' end parts, ``tension`` (r, p) N, on each anchor (k) N."""
    net = maps.net
    d, long, _ = maps.ropes(z)
    sums = np.zeros((net.hold.size, 3))
    for r, last in zip(*maps.rows, strict=True):
        for node, segment, sign in ((0, 0, 1.0), (last, last - 1, -1.0)):
            if net.on[r, node] == ON_ANCHOR:
                sums[net.which[r, node]] += (
                    sign * tension[r, net.part[r, segment + 1]] * d[r, segment] / long[r, segment]
                )
    size: Floats = np.linalg.norm(sums, axis=1)
    return size


def rise(net: Net, step: float, reach: float) -> Curve:
    """Tie and pull the repair until what is left cannot bear its peak or the clamp has moved ``reach`` mm.

    The twin of the compiled ``tie`` and ``rise``; the same ``Curve`` comes back, rows as there.
    """
    maps = Maps(net)
    z, load = tie(net, maps)
    n, first = net.kind.size, load.clamp
    alive = net.kind == HOLE
    load.limit = rub_limits(maps, z, tensions(maps, z, load), load.limit)
    rows: list[tuple[float, float, Floats, Floats, Floats, Floats, Floats, Floats, float]] = []
    events: list[tuple[int, int, int]] = []
    yields, peak = np.nan, 0.0
    while True:
        if rows:
            load.clamp = first + step * len(rows)
            z = settle_sliding(maps, z, load)
        while True:
            part = tensions(maps, z, load)
            tension = part.max(axis=1)
            slot = (z[: 2 * n] - z[2 * n : 4 * n]).reshape(n, 2) * (net.kind != STRAP)[:, None] - load.slot
            torn = np.linalg.norm(slot, axis=1) - net.tear / net.bearing
            anchored = _anchor_pulls(maps, z, part)
            used = np.concatenate((np.where(alive, torn / net.loss, 0.0), tension / net.strength, anchored / net.hold))
            if used.max() <= 1.0 + TIE:
                break
            member = int(np.argmax(used >= used.max() - TIE))
            events.append((len(rows), *_lose(net, member, load, alive)))
            z = settle_sliding(maps, z, load)
        force, pull = clamp_force(net, z, load.clamp)
        tissue = z[2 * n : 4 * n]
        place = net.lead * load.clamp - net.edge @ pull - net.swing @ (tissue + net.carry * load.clamp)
        rows.append((load.clamp, force, tension, pull, slot, z[4 * n :], anchored, tissue, float(place)))
        keep_slips(maps, z, part, load)
        if np.isnan(yields) and (torn[net.kind == HOLE] >= 0.0).any():
            yields = force
        load.grip = _grips(net, z)
        peak = max(peak, force)
        if (events and peak > net.preload and ROOM * _left(net, load, alive) < peak) or load.clamp >= first + reach:
            break
    columns = (np.array(column) for column in zip(*rows, strict=True))
    clamp, force_, tension_, pull_, slot_, depth, anchor, tissue_, edge = columns
    return Curve(
        clamp,
        force_,
        edge - edge[0],
        tension_,
        pull_,
        slot_,
        depth,
        anchor,
        np.array(events, np.int64).reshape(-1, 3),
        float(yields),
        edge,
        tissue_,
    )


def _left(net: Net, load: Load, alive: NDArray[np.bool_]) -> float:
    """Capacity (N) of all holes through which a rope still runs."""
    inside = (np.arange(net.on.shape[1])[None, :] < net.nodes[:, None]) & (net.on != ON_ANCHOR) & load.live[:, None]
    held = np.isin(np.arange(net.kind.size), net.which[inside])
    return float(net.tear[held & alive].sum())


def _lose(net: Net, member: int, load: Load, alive: NDArray[np.bool_]) -> tuple[int, int]:
    """Fail one member, with every rope through a lost hole or anchor; returns its kind and index."""
    n, ropes = net.kind.size, net.nodes.size
    kind = 0 if member < n else (1 if member < n + ropes else 2)
    index = member - (0, n, n + ropes)[kind]
    inside = np.arange(net.on.shape[1])[None, :] < net.nodes[:, None]
    through = inside & (net.which == index) & ((net.on == ON_ANCHOR) == (kind == 2))
    gone = np.arange(ropes) == index if kind == 1 else through.any(axis=1)
    gone |= ~load.live
    gone |= (net.mate >= 0) & gone[net.mate]
    load.live = load.live & ~gone
    if kind == 0:
        alive[index] = False
    return kind, index
