"""The energy of a repair and its one state of least energy, by damped Newton.

Unknowns per site are the rope's contact point X (u, v), the tissue Y (u, v) and the indentation w; the last
unknown is the clamp's medial motion, held while pulling and free (under the preload) while tying.
"""

import math

import numpy as np
from numba import njit

from cuffwright.mechanics.net import ON_ANCHOR, ON_TOP, STRAP, Floats, Net, Whole

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

PIVOT = 1e-9
"""Numerical choice: least pivot of the factorisation, N/mm, reached only where nothing holds a direction."""

SLACK, TIED, TENSIONED = 0, 1, 2

Work = tuple[Floats, Floats, Floats, Whole, Floats, Floats]


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def _path(net: Net, x: Floats, r: int) -> float:
    """Path length of rope ``r`` in mm, its corners rounded."""
    p = np.empty(3)
    q = np.empty(3)
    total = 0.0
    place(net, x, net.on[r, 0], net.which[r, 0], p)
    for s in range(1, net.nodes[r]):
        place(net, x, net.on[r, s], net.which[r, s], q)
        square = net.bend * net.bend
        for c in range(3):
            square += (q[c] - p[c]) ** 2
            p[c] = q[c]
        total += math.sqrt(square)
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def lengths(net: Net, x: Floats, out: Floats) -> None:
    """Write the path length of every rope in mm into ``out`` (r)."""
    for r in range(net.nodes.size):
        out[r] = _path(net, x, r)


@njit(cache=True, nogil=True, error_model="numpy")
def _unknown(net: Net, on: int, which: int, axis: int) -> int:
    """Index of the unknown that moves a rope node along ``axis``, or -1 when it does not move."""
    if on == ON_ANCHOR:
        return -1
    if axis == 2:
        return PER_SITE * which + 4 if on == ON_TOP else -1
    return -1 if net.kind[which] == STRAP else PER_SITE * which + axis


@njit(cache=True, nogil=True, error_model="numpy")
def _moving(net: Net, r: int, touched: Whole) -> int:
    """List the unknowns that move rope ``r`` in ``touched``, each once; returns their number."""
    n = 0
    for s in range(net.nodes[r]):
        for c in range(3):
            m = _unknown(net, net.on[r, s], net.which[r, s], c)
            known = m < 0
            for k in range(n):
                known = known or touched[k] == m
            if not known:
                touched[n] = m
                n += 1
    return n


@njit(cache=True, nogil=True, error_model="numpy")
def _segment(net: Net, x: Floats, r: int, s: int, pull: float, H: Floats, gl: Floats) -> None:
    """Add segment ``s - 1`` to ``s`` of rope ``r``: length slope to ``gl``, turning under ``pull`` to ``H``."""
    i = np.empty(3, np.int64)
    j = np.empty(3, np.int64)
    p = np.empty(3)
    q = np.empty(3)
    place(net, x, net.on[r, s - 1], net.which[r, s - 1], p)
    place(net, x, net.on[r, s], net.which[r, s], q)
    square = net.bend * net.bend
    for c in range(3):
        square += (q[c] - p[c]) ** 2
        i[c] = _unknown(net, net.on[r, s - 1], net.which[r, s - 1], c)
        j[c] = _unknown(net, net.on[r, s], net.which[r, s], c)
    long = math.sqrt(square)
    for c in range(3):
        q[c] = (q[c] - p[c]) / long
    for c in range(3):
        sign = -1.0 if c == 2 else 1.0
        if i[c] >= 0:
            gl[i[c]] -= sign * q[c]
        if j[c] >= 0:
            gl[j[c]] += sign * q[c]
        for b in range(3):
            other = -sign if b == 2 else sign
            bend = other * pull * ((1.0 if b == c else 0.0) - q[b] * q[c]) / long
            if i[c] >= 0 and i[b] >= 0:
                H[i[c], i[b]] += bend
            if j[c] >= 0 and j[b] >= 0:
                H[j[c], j[b]] += bend
            if i[c] >= 0 and j[b] >= 0:
                H[i[c], j[b]] -= bend
            if j[c] >= 0 and i[b] >= 0:
                H[j[c], i[b]] -= bend


@njit(cache=True, nogil=True, error_model="numpy")
def _rope_energy(
    net: Net, x: Floats, r: int, state: int, stiff: float, rest: float, g: Floats, H: Floats, gl: Floats, touched: Whole
) -> float:
    """Add one rope's energy to ``g`` and ``H`` and return it; ``gl`` and ``touched`` are scratch."""
    total = _path(net, x, r)
    pull = net.tension[r] if state == TENSIONED else stiff * (total - rest)
    if pull <= 0.0:
        return 0.0
    n = _moving(net, r, touched)
    for k in range(n):
        gl[touched[k]] = 0.0
    for s in range(1, net.nodes[r]):
        _segment(net, x, r, s, pull, H, gl)
    for k in range(n):
        m = touched[k]
        g[m] += pull * gl[m]
        if state == TIED:
            for b in range(n):
                H[m, touched[b]] += stiff * gl[m] * gl[touched[b]]
    return pull * total if state == TENSIONED else 0.5 * pull * pull / stiff


@njit(cache=True, nogil=True, error_model="numpy")
def spring(d: float, first: float, tear: float, hard: float) -> tuple[float, float, float]:
    """Energy (N mm), force (N) and stiffness (N/mm) of a spring that yields at ``tear`` newtons."""
    limit = tear / first
    if d <= limit:
        return 0.5 * first * d * d, first * d, first
    rest = hard * first
    past = d - limit
    return tear * past + 0.5 * tear * limit + 0.5 * rest * past * past, tear + rest * past, rest


@njit(cache=True, nogil=True, error_model="numpy")
def _site_energy(net: Net, x: Floats, j: int, slot: Floats, tied: Floats, grip: Floats, g: Floats, H: Floats) -> float:
    """Add bearing, friction and thickness energy of site ``j`` to ``g`` and ``H``, and return it."""
    b = PER_SITE * j
    energy: float = 0.0
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


@njit(cache=True, nogil=True, error_model="numpy")
def _sheet_energy(net: Net, x: Floats, g: Floats, H: Floats) -> float:
    """Add the stretched sheet's energy to ``g`` and ``H`` and return it; the clamp's motion is the last unknown."""
    n = net.kind.size
    a = PER_SITE * n
    energy = 0.0
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
    return energy


@njit(cache=True, nogil=True, error_model="numpy")
def assemble(
    net: Net,
    x: Floats,
    free: bool,
    state: Whole,
    stiff: Floats,
    rest: Floats,
    slot: Floats,
    tied: Floats,
    grip: Floats,
    g: Floats,
    H: Floats,
    gl: Floats,
    touched: Whole,
) -> float:
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
        energy += _site_energy(net, x, j, slot, tied, grip, g, H)
    energy += _sheet_energy(net, x, g, H)
    if free:
        g[a] -= net.preload
        energy -= net.preload * x[a]
    for r in range(net.nodes.size):
        if state[r] != SLACK:
            energy += _rope_energy(net, x, r, state[r], stiff[r], rest[r], g, H, gl, touched)
    return energy


@njit(cache=True, nogil=True, error_model="numpy", fastmath=True)
def _newton_step(H: Floats, g: Floats, size: int, step: Floats) -> None:
    """Solve ``H step = -g`` for the first ``size`` unknowns by Cholesky, in place in ``H``."""
    for i in range(size):
        for j in range(i + 1):
            s = H[i, j]
            for k in range(j):
                s -= H[i, k] * H[j, k]
            if i == j:
                H[i, i] = math.sqrt(max(s, PIVOT))
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


@njit(cache=True, nogil=True, error_model="numpy")
def settle(
    net: Net,
    x: Floats,
    free: bool,
    state: Whole,
    stiff: Floats,
    rest: Floats,
    slot: Floats,
    tied: Floats,
    grip: Floats,
    work: Work,
) -> float:
    """Bring ``x`` to the one state of least energy; returns the largest residual force left (N)."""
    g, H, gl, touched, step, trial = work
    size = x.size if free else x.size - 1
    energy = assemble(net, x, free, state, stiff, rest, slot, tied, grip, g, H, gl, touched)
    residual: float = np.inf
    for _ in range(ITERATIONS):
        residual = 0.0
        for i in range(size):
            residual = max(residual, abs(g[i]))
        if residual < TOLERANCE:
            break
        _newton_step(H, g, size, step)
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


@njit(cache=True, nogil=True, error_model="numpy")
def workspace(size: int) -> Work:
    """Scratch arrays for ``settle``."""
    return (
        np.zeros(size),
        np.zeros((size, size)),
        np.zeros(size),
        np.zeros(size, np.int64),
        np.zeros(size),
        np.zeros(size),
    )
