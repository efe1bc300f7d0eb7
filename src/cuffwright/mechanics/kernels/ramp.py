"""The failure ramp of a tied repair: convex energy, damped Newton, staged tying, one member lost at a time.

Unknowns per site are the rope's contact point X (u, v), the tissue Y (u, v) and the indentation w; the last
unknown is the clamp's medial motion, held while pulling and free (under the preload) while tying.
"""

import math

import numpy as np
from numba import njit

from cuffwright.mechanics.net import HOLE, ON_ANCHOR, ON_TOP, STRAP, Curve, Floats, Net, Whole

PER_SITE = 5
"""Numerical choice: unknowns per site (X in u and v, Y in u and v, indentation)."""

TOLERANCE = 1e-6
"""Numerical choice: largest residual force left by Newton, N."""

ITERATIONS = 200
"""Numerical choice: Newton steps allowed per load step; three or four are usual."""

HALVINGS = 40
"""Numerical choice: halvings of a Newton step before it is taken as stalled."""

ARMIJO = 1e-4
"""Numerical choice: share of the predicted fall in energy that a Newton step must bring."""

TIE = 1e-6
"""Numerical choice: members whose utilisation is this close to the highest count as equal; the first one goes."""

SLACK, TIED, TENSIONED = 0, 1, 2


@njit(cache=True, nogil=True)
def place(net: Net, x: Floats, on: int, which: int, spot: Floats) -> None:
    """Write the place (u, v, z) in mm of one rope node into ``spot``."""
    if on == ON_ANCHOR:
        for c in range(3):
            spot[c] = net.anchor[which, c]
        return
    b = PER_SITE * which
    for c in range(2):
        spot[c] = net.at[which, c]
        if net.kind[which] != STRAP:
            spot[c] += x[b + c]
    spot[2] = net.floor
    if on == ON_TOP:
        spot[2] = net.thick[which] - x[b + 4]


@njit(cache=True, nogil=True)
def lengths(net: Net, x: Floats, out: Floats) -> None:
    """Write the path length of every rope in mm into ``out`` (r)."""
    p = np.empty(3)
    q = np.empty(3)
    for r in range(net.count.size):
        total = 0.0
        place(net, x, net.on[r, 0], net.which[r, 0], p)
        for s in range(1, net.count[r]):
            place(net, x, net.on[r, s], net.which[r, s], q)
            square = net.bend * net.bend
            for c in range(3):
                square += (q[c] - p[c]) ** 2
                p[c] = q[c]
            total += math.sqrt(square)
        out[r] = total


@njit(cache=True, nogil=True)
def unknown(net: Net, on: int, which: int, axis: int) -> int:
    """Index of the unknown that moves a rope node along ``axis``, or -1 when it does not move."""
    if on == ON_ANCHOR:
        return -1
    if axis == 2:
        return PER_SITE * which + 4 if on == ON_TOP else -1
    return -1 if net.kind[which] == STRAP else PER_SITE * which + axis


@njit(cache=True, nogil=True)
def rope_energy(net, x, r, state, stiff, rest, g, H, gl, touched):  # type: ignore[no-untyped-def]
    """Add one rope's energy to ``g`` and ``H`` and return it."""
    p = np.empty(3)
    q = np.empty(3)
    total = 0.0
    place(net, x, net.on[r, 0], net.which[r, 0], p)
    for s in range(1, net.count[r]):
        place(net, x, net.on[r, s], net.which[r, s], q)
        square = net.bend * net.bend
        for c in range(3):
            square += (q[c] - p[c]) ** 2
            p[c] = q[c]
        total += math.sqrt(square)
    if state == TENSIONED:
        pull = net.tension[r]
        energy = pull * total
    else:
        pull = max(0.0, stiff * (total - rest))
        if pull == 0.0:
            return 0.0
        energy = 0.5 * pull * pull / stiff
    n = 0
    i = np.empty(3, np.int64)
    j = np.empty(3, np.int64)
    d = np.empty(3)
    place(net, x, net.on[r, 0], net.which[r, 0], p)
    for s in range(1, net.count[r]):
        place(net, x, net.on[r, s], net.which[r, s], q)
        square = net.bend * net.bend
        for c in range(3):
            d[c] = q[c] - p[c]
            square += d[c] * d[c]
            p[c] = q[c]
            i[c] = unknown(net, net.on[r, s - 1], net.which[r, s - 1], c)
            j[c] = unknown(net, net.on[r, s], net.which[r, s], c)
        inverse = 1.0 / math.sqrt(square)
        for c in range(3):
            sign = -1.0 if c == 2 else 1.0
            slope = sign * d[c] * inverse
            for e in range(2):
                m = i[c] if e == 0 else j[c]
                if m >= 0:
                    if gl[m] == 0.0:
                        known = False
                        for k in range(n):
                            known = known or touched[k] == m
                        if not known:
                            touched[n] = m
                            n += 1
                    gl[m] += -slope if e == 0 else slope
            for b in range(3):
                other = -1.0 if b == 2 else 1.0
                bend = (1.0 if b == c else 0.0) - d[b] * d[c] * inverse * inverse
                bend *= sign * other * pull * inverse
                if i[c] >= 0 and i[b] >= 0:
                    H[i[c], i[b]] += bend
                if j[c] >= 0 and j[b] >= 0:
                    H[j[c], j[b]] += bend
                if i[c] >= 0 and j[b] >= 0:
                    H[i[c], j[b]] -= bend
                if j[c] >= 0 and i[b] >= 0:
                    H[j[c], i[b]] -= bend
    for k in range(n):
        m = touched[k]
        g[m] += pull * gl[m]
        if state == TIED:
            for b in range(n):
                H[m, touched[b]] += stiff * gl[m] * gl[touched[b]]
    for k in range(n):
        gl[touched[k]] = 0.0
    return energy


@njit(cache=True, nogil=True)
def spring(d: float, first: float, tear: float, hard: float) -> tuple[float, float, float]:
    """Energy (N mm), force (N) and stiffness (N/mm) of a spring that yields at ``tear`` newtons."""
    limit = tear / first
    if d <= limit:
        return 0.5 * first * d * d, first * d, first
    rest = hard * first
    past = d - limit
    return tear * past + 0.5 * tear * limit + 0.5 * rest * past * past, tear + rest * past, rest


@njit(cache=True, nogil=True)
def site_energy(net, x, j, slot, tied, grip, g, H):  # type: ignore[no-untyped-def]
    """Add bearing, friction and thickness energy of site ``j`` to ``g`` and ``H``, and return it."""
    b = PER_SITE * j
    energy = 0.0
    for law in range(2):
        if law == 0:
            if net.kind[j] == STRAP:
                H[b, b] += 1.0
                H[b + 1, b + 1] += 1.0
                continue
            du = x[b] - x[b + 2] - slot[j, 0]
            dv = x[b + 1] - x[b + 3] - slot[j, 1]
            first, tear, hard = net.bearing[j], net.tear[j], net.hard
        else:
            if grip[j] <= 0.0:
                continue
            du = x[b + 2] - tied[j, 0]
            dv = x[b + 3] - tied[j, 1]
            first, tear, hard = net.stick, grip[j], 0.0
        d = math.sqrt(du * du + dv * dv)
        e, force, stiff = spring(d, first, tear, hard)
        energy += e
        nu, nv, cross = 0.0, 0.0, first
        if d > 0.0:
            nu, nv, cross = du / d, dv / d, force / d
        huu = stiff * nu * nu + cross * (1.0 - nu * nu)
        hvv = stiff * nv * nv + cross * (1.0 - nv * nv)
        huv = (stiff - cross) * nu * nv
        y = b + 2
        if law == 0:
            g[b] += force * nu
            g[b + 1] += force * nv
            g[y] -= force * nu
            g[y + 1] -= force * nv
            H[b, b] += huu
            H[b + 1, b + 1] += hvv
            H[b, b + 1] += huv
            H[b + 1, b] += huv
            for c in range(2):
                for k in range(2):
                    v = huv
                    if c == k:
                        v = huu if c == 0 else hvv
                    H[b + c, y + k] -= v
                    H[y + k, b + c] -= v
        else:
            g[y] += force * nu
            g[y + 1] += force * nv
        H[y, y] += huu
        H[y + 1, y + 1] += hvv
        H[y, y + 1] += huv
        H[y + 1, y] += huv
    w, t, k = x[b + 4], net.thick[j], net.press[j]
    if w < 0.0:
        energy += 0.5 * k * w * w
        g[b + 4] += k * w
        H[b + 4, b + 4] += k
    else:
        left = 1.0 - w / t
        energy += k * t * t * (-math.log(left) - w / t)
        g[b + 4] += k * w / left
        H[b + 4, b + 4] += k / (left * left)
    return energy


@njit(cache=True, nogil=True)
def assemble(net, x, free, state, stiff, rest, slot, tied, grip, g, H, gl, touched):  # type: ignore[no-untyped-def]
    """Energy (N mm) at ``x``, its gradient into ``g`` and Hessian into ``H``; infinite where crushed through."""
    n = net.kind.size
    a = PER_SITE * n
    for j in range(n):
        if x[PER_SITE * j + 4] >= net.thick[j]:
            return np.inf
    g[:] = 0.0
    H[:, :] = 0.0
    energy = 0.0
    for j in range(n):
        energy += site_energy(net, x, j, slot, tied, grip, g, H)
    for i in range(n):
        for c in range(2):
            p = PER_SITE * i + 2 + c
            force = 0.0
            column = 0.0
            for j in range(n):
                for b in range(2):
                    k = net.stiffness[2 * i + c, 2 * j + b]
                    q = PER_SITE * j + 2 + b
                    shift = x[q]
                    if b == 1:
                        shift += x[a]
                        column += k
                    force += k * shift
                    H[p, q] += k
            own = x[p]
            if c == 1:
                own += x[a]
                g[a] += force
                H[a, a] += column
            H[p, a] += column
            H[a, p] += column
            energy += 0.5 * force * own
            g[p] += force
    if free:
        g[a] -= net.preload
        energy -= net.preload * x[a]
    for r in range(net.count.size):
        if state[r] != SLACK:
            energy += rope_energy(net, x, r, state[r], stiff[r], rest[r], g, H, gl, touched)
    return energy


@njit(cache=True, nogil=True, fastmath=True)
def newton_step(H: Floats, g: Floats, size: int, step: Floats) -> None:
    """Solve ``H step = -g`` for the first ``size`` unknowns by Cholesky, in place in ``H``."""
    for i in range(size):
        for j in range(i + 1):
            s = H[i, j]
            for k in range(j):
                s -= H[i, k] * H[j, k]
            if i == j:
                H[i, i] = math.sqrt(s)
            else:
                H[i, j] = s / H[j, j]
    for i in range(size):
        s = -g[i]
        for k in range(i):
            s -= H[i, k] * step[k]
        step[i] = s / H[i, i]
    for i in range(size - 1, -1, -1):
        s = step[i] / H[i, i]
        step[i] = s
        for k in range(i):
            step[k] -= H[i, k] * s


@njit(cache=True, nogil=True)
def settle(net, x, free, state, stiff, rest, slot, tied, grip, work):  # type: ignore[no-untyped-def]
    """Bring ``x`` to the one state of least energy; returns the largest residual force left (N)."""
    g, H, gl, touched, step, trial = work
    size = x.size if free else x.size - 1
    energy = assemble(net, x, free, state, stiff, rest, slot, tied, grip, g, H, gl, touched)
    residual = np.inf
    for _ in range(ITERATIONS):
        residual = 0.0
        for i in range(size):
            residual = max(residual, abs(g[i]))
        if residual < TOLERANCE:
            break
        newton_step(H, g, size, step)
        fall = 0.0
        for i in range(size):
            fall += g[i] * step[i]
        scale = 1.0
        trial[:] = x
        moved = False
        for _ in range(HALVINGS):
            for i in range(size):
                trial[i] = x[i] + scale * step[i]
            e = assemble(net, trial, free, state, stiff, rest, slot, tied, grip, g, H, gl, touched)
            if e <= energy + ARMIJO * scale * fall + TOLERANCE * TOLERANCE * abs(energy):
                moved = True
                break
            scale *= 0.5
        if not moved:
            assemble(net, x, free, state, stiff, rest, slot, tied, grip, g, H, gl, touched)
            break
        x[:] = trial
        energy = e
    return residual


@njit(cache=True, nogil=True)
def workspace(size: int):  # type: ignore[no-untyped-def]
    """Scratch arrays for ``settle``."""
    return (
        np.zeros(size), np.zeros((size, size)), np.zeros(size), np.zeros(size, np.int64),
        np.zeros(size), np.zeros(size),
    )


@njit(cache=True, nogil=True)
def tie(net: Net) -> tuple[Floats, Floats, Floats]:
    """Tie the ropes stage by stage with the muscle end free under the preload.

    Returns the tied state (5n + 1), the stiffness (r) N/mm and the slack length (r) mm of every rope.
    """
    n = net.kind.size
    ropes = net.count.size
    x = np.zeros(PER_SITE * n + 1)
    work = workspace(x.size)
    stiff = np.zeros(ropes)
    rest = np.zeros(ropes)
    long = np.zeros(ropes)
    state = np.zeros(ropes, np.int64)
    none = np.zeros((n, 2))
    grip = np.zeros(n)
    lengths(net, x, long)
    for r in range(ropes):
        stiff[r] = 1.0 / (net.give[r] + long[r] / net.thread)
    for stage in range(net.stage.max() + 1):
        pulled = 0
        for r in range(ropes):
            if net.stage[r] == stage:
                state[r] = TENSIONED
                pulled += 1
        if pulled == 0:
            continue
        settle(net, x, True, state, stiff, rest, none, none, grip, work)
        lengths(net, x, long)
        for r in range(ropes):
            if net.stage[r] == stage:
                state[r] = TIED
                rest[r] = long[r] - net.tension[r] / stiff[r]
    return x, stiff, rest


@njit(cache=True, nogil=True)
def tissue_pull(net: Net, x: Floats, out: Floats) -> float:
    """Write the force of each site on the tissue (2n) N into ``out`` and return the clamp force (N)."""
    n = net.kind.size
    total = 0.0
    for i in range(2 * n):
        force = 0.0
        for j in range(n):
            base = PER_SITE * j + 2
            force += net.stiffness[i, 2 * j] * x[base]
            force += net.stiffness[i, 2 * j + 1] * (x[base + 1] + x[x.size - 1])
        out[i] = force
        if i % 2 == 1:
            total += force
    return total


@njit(cache=True, nogil=True)
def anchor_pulls(net: Net, x: Floats, tension: Floats, out: Floats) -> None:
    """Write the size of the summed rope pulls on each anchor (k) N into ``out``."""
    sums = np.zeros((out.size, 3))
    p = np.empty(3)
    q = np.empty(3)
    for r in range(net.count.size):
        last = net.count[r] - 1
        for end in range(2):
            here = 0 if end == 0 else last
            there = 1 if end == 0 else last - 1
            if net.on[r, here] != ON_ANCHOR:
                continue
            place(net, x, net.on[r, here], net.which[r, here], p)
            place(net, x, net.on[r, there], net.which[r, there], q)
            square = net.bend * net.bend
            for c in range(3):
                square += (q[c] - p[c]) ** 2
            for c in range(3):
                sums[net.which[r, here], c] += tension[r] * (q[c] - p[c]) / math.sqrt(square)
    for k in range(out.size):
        out[k] = math.sqrt(sums[k, 0] ** 2 + sums[k, 1] ** 2 + sums[k, 2] ** 2)


@njit(cache=True, nogil=True)
def slots(net: Net, x: Floats, slot: Floats, out: Floats) -> None:
    """Write the distance between rope and tissue (n) mm into ``out``, zero at straps."""
    for j in range(out.size):
        b = PER_SITE * j
        out[j] = 0.0
        if net.kind[j] != STRAP:
            out[j] = math.sqrt((x[b] - x[b + 2] - slot[j, 0]) ** 2 + (x[b + 1] - x[b + 3] - slot[j, 1]) ** 2)


@njit(cache=True, nogil=True)
def grips(net: Net, x: Floats, out: Floats) -> None:
    """Write the friction limit (n) N of every site at its present indentation into ``out``."""
    for j in range(out.size):
        w = x[PER_SITE * j + 4]
        out[j] = 0.0 if w <= 0.0 else net.friction * net.press[j] * w / (1.0 - w / net.thick[j])


@njit(cache=True, nogil=True)
def weakest(net, alive, slot, tension, pulls):  # type: ignore[no-untyped-def]
    """Highest utilisation above one as (kind, index), or (-1, -1); ties go to the first member."""
    n, ropes, anchors = net.kind.size, net.count.size, net.hold.size
    most, kind, index = 1.0, -1, -1
    for i in range(n + ropes + anchors):
        if i < n:
            used = 0.0
            if net.kind[i] == HOLE and alive[i]:
                used = (slot[i] - net.tear[i] / net.bearing[i]) / net.loss[i]
        elif i < n + ropes:
            used = tension[i - n] / net.strength[i - n]
        else:
            used = pulls[i - n - ropes] / net.hold[i - n - ropes]
        if used > most + TIE:
            most = used
            kind = 0 if i < n else (1 if i < n + ropes else 2)
            index = i if i < n else (i - n if i < n + ropes else i - n - ropes)
    return kind, index


@njit(cache=True, nogil=True)
def lose(net, kind, index, state, alive):  # type: ignore[no-untyped-def]
    """Fail one member: a rope, or a hole or anchor with every rope through it."""
    if kind == 1:
        state[index] = SLACK
        return
    if kind == 0:
        alive[index] = False
    for r in range(net.count.size):
        for s in range(net.count[r]):
            anchored = net.on[r, s] == ON_ANCHOR
            if net.which[r, s] == index and anchored == (kind == 2):
                state[r] = SLACK


@njit(cache=True, nogil=True)
def release(net, state, x, slot):  # type: ignore[no-untyped-def]
    """Start sites that no rope loads any more from their rest, where the energy's minimum will leave them."""
    for j in range(net.kind.size):
        loaded = False
        for r in range(net.count.size):
            for s in range(net.count[r]):
                on_site = net.on[r, s] != ON_ANCHOR and net.which[r, s] == j
                loaded = loaded or (on_site and state[r] != SLACK)
        if not loaded:
            b = PER_SITE * j
            x[b + 4] = 0.0
            for c in range(2):
                x[b + c] = x[b + 2 + c] + slot[j, c]


@njit(cache=True, nogil=True)
def advance(net, x, before, step):  # type: ignore[no-untyped-def]
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


@njit(cache=True, nogil=True)
def rise(net, x0, stiff, rest, slot, step, reach, stop_at):  # type: ignore[no-untyped-def]
    """Pull the tied repair to failure, to ``reach`` mm of clamp motion, or until ``stop_at`` newtons.

    Returns a ``Curve``; ``slot`` (n, 2) mm is what cycling has already torn. Force is held to fall below half
    of its peak before the ramp ends.
    """
    n, ropes, anchors = net.kind.size, net.count.size, net.hold.size
    rows = 2 + int(math.ceil(reach / step))
    x = x0.copy()
    before = x0.copy()
    last = x.size - 1
    work = workspace(x.size)
    state = np.full(ropes, TIED)
    alive = np.ones(n, np.bool_)
    tied = np.zeros((n, 2))
    grip = np.zeros(n)
    long = np.zeros(ropes)
    clamp, force, edge = np.zeros(rows), np.zeros(rows), np.zeros(rows)
    tension, pull = np.zeros((rows, ropes)), np.zeros((rows, 2 * n))
    gap, depth, load = np.zeros((rows, n)), np.zeros((rows, n)), np.zeros((rows, anchors))
    events = np.zeros((n + ropes + anchors, 3), np.int64)
    failed = 0
    yields = np.nan
    peak = 0.0
    s = 0
    for j in range(n):
        tied[j, 0] = x[PER_SITE * j + 2]
        tied[j, 1] = x[PER_SITE * j + 3]
    grips(net, x, grip)
    while s < rows - 1:
        if s > 0 or np.any(slot != 0.0):
            if s > 0:
                advance(net, x, before, step)
            settle(net, x, False, state, stiff, rest, slot, tied, grip, work)
        while True:
            lengths(net, x, long)
            for r in range(ropes):
                tension[s, r] = max(0.0, stiff[r] * (long[r] - rest[r])) if state[r] == TIED else 0.0
            slots(net, x, slot, gap[s])
            anchor_pulls(net, x, tension[s], load[s])
            kind, index = weakest(net, alive, gap[s], tension[s], load[s])
            if kind < 0 or failed == events.shape[0]:
                break
            events[failed, 0], events[failed, 1], events[failed, 2] = s, kind, index
            failed += 1
            lose(net, kind, index, state, alive)
            release(net, state, x, slot)
            before[:] = x
            settle(net, x, False, state, stiff, rest, slot, tied, grip, work)
        clamp[s] = x[last]
        force[s] = tissue_pull(net, x, pull[s])
        edge[s] = x[last]
        for i in range(2 * n):
            edge[s] -= net.edge[i] * pull[s, i]
        for j in range(n):
            depth[s, j] = x[PER_SITE * j + 4]
            torn = net.kind[j] == HOLE and gap[s, j] >= net.tear[j] / net.bearing[j]
            if torn and math.isnan(yields):
                yields = force[s]
        grips(net, x, grip)
        peak = max(peak, force[s])
        s += 1
        if force[s - 1] < 0.5 * peak or force[s - 1] >= stop_at or clamp[s - 1] >= x0[last] + reach:
            break
    return Curve(
        clamp[:s], force[:s], edge[:s] - edge[0], tension[:s], pull[:s], gap[:s], depth[:s], load[:s],
        events[:failed], yields,
    )
