"""The failure ramp of a repair: staged tying, then a pull in which one member is lost at a time."""

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from cuffwright.mechanics.kernels.chain import SLACK, TENSIONED, TIED, lengths, parts_of, place
from cuffwright.mechanics.kernels.newton import settle
from cuffwright.mechanics.kernels.slip import keep_slips, rope_tensions, rub_limits
from cuffwright.mechanics.kernels.work import PER_SITE, Ties, Work, workspace
from cuffwright.mechanics.net import HOLE, ON_ANCHOR, ROOM, STRAP, Curve, Floats, Net, Whole

TIE = 1e-6
"""Numerical choice: members whose utilisation is this close to the highest count as equal; the first one goes."""

EVEN = 3e-5
"""Numerical choice: change of a rope's friction (N) below which sliding has settled."""

PASSES = 60
"""Numerical choice: passes over the ropes' friction allowed in one load step; four to eight are usual."""


@njit(cache=True, nogil=True, error_model="numpy")
def part_stiffness(net: Net, long: Floats) -> Floats:
    """Stiffness (r, p) N/mm of every rope's parts of ``long`` mm; knot, clamp and anchors give at its two ends."""
    stiff = np.ones(long.shape)
    for r in range(net.nodes.size):
        parts = parts_of(net, r)
        for i in range(parts):
            give = long[r, i] / net.thread
            if i == 0:
                give += 0.5 * net.give[r]
            if i == parts - 1:
                give += 0.5 * net.give[r]
            stiff[r, i] = 1.0 / give
    return stiff


@njit(cache=True, nogil=True, error_model="numpy")
def tie(net: Net) -> tuple[Floats, Floats, Floats]:
    """Tie the ropes stage by stage with the muscle end free under the preload; each runs evenly when fixed.

    Returns the tied state (5n + 1), the stiffness (r, p) N/mm and the slack length (r, p) mm of every rope's parts.
    """
    n = net.kind.size
    ropes = net.nodes.size
    x = np.zeros(PER_SITE * n + 1)
    work = workspace(net)
    rest = np.zeros((ropes, net.part.max() + 1))
    long = np.zeros(rest.shape)
    limit = np.zeros(rest.shape)
    state = np.zeros(ropes, np.int64)
    lengths(net, x, long)
    stiff = part_stiffness(net, long)
    ties = Ties(state, stiff, rest, limit, np.zeros((n, 2)), np.zeros((n, 2)), np.zeros(n))
    for stage in range(net.stage.max() + 1):
        pulled = 0
        for r in range(ropes):
            if net.stage[r] == stage:
                state[r] = TENSIONED
                pulled += 1
        if pulled == 0:
            continue
        settle(net, x, x.size, ties, work)
        lengths(net, x, long)
        for r in range(ropes):
            if net.stage[r] == stage:
                state[r] = TIED
                for i in range(parts_of(net, r)):
                    rest[r, i] = long[r, i] - net.tension[r] / stiff[r, i]
    return x, stiff, rest


@njit(cache=True, nogil=True, error_model="numpy")
def _settle_sliding(
    net: Net,
    x: Floats,
    ties: Ties,
    tension: Floats,
    work: Work,
    even: float,
) -> None:
    """Settle ``x`` with ropes that slide at the capstan's limit (to ``even`` N); writes the parts' ``tension`` N."""
    for _ in range(PASSES):
        settle(net, x, x.size - 1, ties, work)
        rope_tensions(net, x, ties.state, ties.stiff, ties.rest, ties.limit, tension)
        if rub_limits(net, x, tension, ties.limit) < even:
            break


@njit(cache=True, nogil=True, error_model="numpy")
def tissue_pull(net: Net, x: Floats, out: Floats) -> float:
    """Write the force of each site on the tissue (2n) N into ``out`` and return the clamp force (N)."""
    n = net.kind.size
    total: float = net.own * x[x.size - 1]
    for i in range(2 * n):
        force = 0.0
        for j in range(n):
            for c in range(2):
                shift = x[PER_SITE * j + 2 + c] + net.carry[2 * j + c] * x[x.size - 1]
                force += net.stiffness[i, 2 * j + c] * shift
        out[i] = force
        total += net.carry[i] * force
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def edge_place(net: Net, x: Floats, pull: Floats) -> float:
    """How far (mm) the tendon edge lies medial of its planned place, under the sites' ``pull`` (2n) N."""
    away: float = net.lead * x[x.size - 1]
    for j in range(net.kind.size):
        for c in range(2):
            i = 2 * j + c
            shift = x[PER_SITE * j + 2 + c] + net.carry[i] * x[x.size - 1]
            away -= net.edge[i] * pull[i] + net.swing[i] * shift
    return away


@njit(cache=True, nogil=True, error_model="numpy")
def anchor_pulls(net: Net, x: Floats, tension: Floats, out: Floats) -> None:
    """Write the size of the summed pulls of the ropes' end parts, ``tension`` (r, p) N, on each anchor into ``out``."""
    sums = np.zeros((out.size, 3))
    for r in range(net.nodes.size):
        last = net.nodes[r] - 1
        for end in range(2):
            here = 0 if end == 0 else last
            there = 1 if end == 0 else last - 1
            if net.on[r, here] != ON_ANCHOR:
                continue
            p = place(net, x, net.on[r, here], net.which[r, here])
            q = place(net, x, net.on[r, there], net.which[r, there])
            square = net.bend * net.bend + (q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2 + (q[2] - p[2]) ** 2
            force = tension[r, 0 if end == 0 else net.part[r, last]]
            for c in range(3):
                sums[net.which[r, here], c] += force * (q[c] - p[c]) / math.sqrt(square)
    for k in range(out.size):
        out[k] = math.sqrt(sums[k, 0] ** 2 + sums[k, 1] ** 2 + sums[k, 2] ** 2)


@njit(cache=True, nogil=True, error_model="numpy")
def _slots(net: Net, x: Floats, slot: Floats, out: Floats) -> None:
    """Write the way from tissue to rope (n, 2) mm beyond ``slot`` into ``out``, zero at straps."""
    for j in range(net.kind.size):
        for c in range(2):
            b = PER_SITE * j + c
            out[j, c] = 0.0 if net.kind[j] == STRAP else x[b] - x[b + 2] - slot[j, c]


@njit(cache=True, nogil=True, error_model="numpy")
def _grips(net: Net, x: Floats, out: Floats) -> None:
    """Write the friction limit (n) N of every site at its present indentation into ``out``."""
    for j in range(out.size):
        w = x[PER_SITE * j + 4]
        out[j] = 0.0 if w <= 0.0 else net.friction * net.press[j] * w / (1.0 - w / net.thick[j])


@njit(cache=True, nogil=True, error_model="numpy")
def _weakest(net: Net, alive: NDArray[np.bool_], slot: Floats, tension: Floats, pulls: Floats) -> tuple[int, int]:
    """Highest utilisation above one as (kind, index), or (-1, -1); ties go to the first member."""
    n, ropes, anchors = net.kind.size, net.nodes.size, net.hold.size
    most, kind, index = 1.0, -1, -1
    for i in range(n + ropes + anchors):
        if i < n:
            used = 0.0
            if net.kind[i] == HOLE and alive[i]:
                used = (math.hypot(slot[i, 0], slot[i, 1]) - net.tear[i] / net.bearing[i]) / net.loss[i]
        elif i < n + ropes:
            used = tension[i - n] / net.strength[i - n]
        else:
            used = pulls[i - n - ropes] / net.hold[i - n - ropes]
        if used > most + TIE:
            most = used
            kind = 0 if i < n else (1 if i < n + ropes else 2)
            index = i if i < n else (i - n if i < n + ropes else i - n - ropes)
    return kind, index


@njit(cache=True, nogil=True, error_model="numpy")
def lose(net: Net, kind: int, index: int, state: Whole, alive: NDArray[np.bool_]) -> None:
    """Fail one member: a rope, or a hole or anchor with every rope through it; and what ran on through an eyelet."""
    if kind == 1:
        state[index] = SLACK
    if kind == 0:
        alive[index] = False
    if kind != 1:
        for r in range(net.nodes.size):
            for s in range(net.nodes[r]):
                anchored = net.on[r, s] == ON_ANCHOR
                if net.which[r, s] == index and anchored == (kind == 2):
                    state[r] = SLACK
    for r in range(net.nodes.size):
        if net.mate[r] >= 0 and state[net.mate[r]] == SLACK:
            state[r] = SLACK


@njit(cache=True, nogil=True, error_model="numpy")
def _left(net: Net, state: Whole, alive: NDArray[np.bool_]) -> float:
    """Capacity (N) of all holes through which a rope still runs."""
    total = 0.0
    for j in range(net.kind.size):
        held = False
        for r in range(net.nodes.size):
            for s in range(net.nodes[r]):
                on_site = net.on[r, s] != ON_ANCHOR and net.which[r, s] == j
                held = held or (on_site and state[r] != SLACK)
        if held and alive[j] and net.kind[j] == HOLE:
            total += net.tear[j]
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def _release(net: Net, state: Whole, x: Floats, slot: Floats) -> None:
    """Start sites that no rope loads any more from their rest, where the energy's minimum will leave them."""
    for j in range(net.kind.size):
        loaded = False
        for r in range(net.nodes.size):
            for s in range(net.nodes[r]):
                on_site = net.on[r, s] != ON_ANCHOR and net.which[r, s] == j
                loaded = loaded or (on_site and state[r] != SLACK)
        if not loaded:
            b = PER_SITE * j
            x[b + 4] = 0.0
            for c in range(2):
                x[b + c] = x[b + 2 + c] + slot[j, c]


@njit(cache=True, nogil=True, error_model="numpy")
def _advance(net: Net, x: Floats, before: Floats, step: float) -> None:
    """Move the clamp by ``step`` mm and carry the rest on as it went in the last step, if that crushes nothing."""
    last = x.size - 1
    moved = x[last] - before[last]
    share = step / moved if moved > 0.0 else 0.0
    for j in range(net.kind.size):
        w = PER_SITE * j + 4
        if x[w] + share * (x[w] - before[w]) > 0.5 * (x[w] + net.thick[j]):
            share = 0.0
    for i in range(last):
        here = x[i]
        x[i] += share * (here - before[i])
        before[i] = here
    before[last] = x[last]
    x[last] += step


@njit(cache=True, nogil=True, error_model="numpy")
def _foresee(limit: Floats, before: Floats) -> None:
    """Carry the friction at every cut on as it went in the last step, never below nothing."""
    for r in range(limit.shape[0]):
        for c in range(limit.shape[1]):
            here = limit[r, c]
            limit[r, c] = max(0.0, 2.0 * here - before[r, c])
            before[r, c] = here


@njit(cache=True, nogil=True, error_model="numpy")
def rise(
    net: Net,
    x0: Floats,
    stiff: Floats,
    rest: Floats,
    slot: Floats,
    step: float,
    reach: float,
    stop_at: float,
    even: float,
) -> Curve:
    """Pull the tied repair to failure, to ``reach`` mm of clamp motion, or until ``stop_at`` newtons.

    Returns a ``Curve``; ``slot`` (n, 2) mm is what cycling has already torn. A repair counts as failed when
    members are lost and what is left can no longer bear as much as the peak. Friction of ropes that rub is settled to
    ``even`` newtons.
    """
    n, ropes, anchors = net.kind.size, net.nodes.size, net.hold.size
    rows = 2 + math.ceil(reach / step)
    x = x0.copy()
    before = x0.copy()
    last = x.size - 1
    work = workspace(net)
    state = np.full(ropes, TIED)
    alive = np.ones(n, np.bool_)
    tied = np.zeros((n, 2))
    grip = np.zeros(n)
    rest = rest.copy()
    limit = np.zeros(rest.shape)
    parts = np.zeros(rest.shape)
    ties = Ties(state, stiff, rest, limit, slot, tied, grip)
    clamp, force, edge = np.zeros(rows), np.zeros(rows), np.zeros(rows)
    tension, pull, tissue = np.zeros((rows, ropes)), np.zeros((rows, 2 * n)), np.zeros((rows, 2 * n))
    gap, depth, load = np.zeros((rows, n, 2)), np.zeros((rows, n)), np.zeros((rows, anchors))
    events = np.zeros((n + ropes + anchors, 3), np.int64)
    failed = 0
    yields = np.nan
    peak = 0.0
    s = 0
    for j in range(n):
        tied[j, 0] = x[PER_SITE * j + 2]
        tied[j, 1] = x[PER_SITE * j + 3]
    _grips(net, x, grip)
    rope_tensions(net, x, state, stiff, rest, limit, parts)
    rub_limits(net, x, parts, limit)
    rubbed = limit.copy()
    while s < rows - 1:
        if s > 0 or np.any(slot != 0.0):
            if s > 0:
                _advance(net, x, before, step)
                _foresee(limit, rubbed)
            _settle_sliding(net, x, ties, parts, work, even)
        while True:
            for r in range(ropes):
                tension[s, r] = parts[r].max()
            _slots(net, x, slot, gap[s])
            anchor_pulls(net, x, parts, load[s])
            kind, index = _weakest(net, alive, gap[s], tension[s], load[s])
            if kind < 0 or failed == events.shape[0]:
                break
            events[failed, 0], events[failed, 1], events[failed, 2] = s, kind, index
            failed += 1
            lose(net, kind, index, state, alive)
            _release(net, state, x, slot)
            before[:] = x
            _settle_sliding(net, x, ties, parts, work, even)
            rubbed[:] = limit
        clamp[s] = x[last]
        force[s] = tissue_pull(net, x, pull[s])
        edge[s] = edge_place(net, x, pull[s])
        for j in range(n):
            depth[s, j] = x[PER_SITE * j + 4]
            tissue[s, 2 * j], tissue[s, 2 * j + 1] = x[PER_SITE * j + 2], x[PER_SITE * j + 3]
            far = math.hypot(gap[s, j, 0], gap[s, j, 1])
            if net.kind[j] == HOLE and far >= net.tear[j] / net.bearing[j] and math.isnan(yields):
                yields = force[s]
        _grips(net, x, grip)
        keep_slips(net, x, state, stiff, parts, rest)
        peak = max(peak, force[s])
        s += 1
        fallen = failed > 0 and peak > net.preload and ROOM * _left(net, state, alive) < peak
        if fallen or force[s - 1] >= stop_at or clamp[s - 1] >= x0[last] + reach:
            break
    return Curve(
        clamp[:s],
        force[:s],
        edge[:s] - edge[0],
        tension[:s],
        pull[:s],
        gap[:s],
        depth[:s],
        load[:s],
        events[:failed],
        yields,
        edge[:s],
        tissue[:s],
    )
