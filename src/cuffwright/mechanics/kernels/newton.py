"""The one state of least energy, by damped Newton.

Sites joined by ropes form clusters. Rope contacts and indentations of different clusters meet only through the
tissue, so each cluster is eliminated on its own and only the tissue's motion is solved as one full system.
"""

import math

import numpy as np
from numba import njit

from cuffwright.mechanics.kernels.energy import assemble
from cuffwright.mechanics.kernels.work import Ties, Work
from cuffwright.mechanics.net import Floats, Net

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


@njit(cache=True, nogil=True, error_model="numpy", fastmath=True)
def _eliminate(work: Work, c: int) -> None:
    """Factorise cluster ``c`` and its coupling to its tissue; carry the right side along."""
    H, inner, outer, low, mixed, ahead = work.H, work.inner, work.outer, work.low, work.mixed, work.ahead
    a, m = work.first[c], work.first[c + 1] - work.first[c]
    for i in range(m):
        p = inner[a + i]
        s = -work.g[p]
        for j in range(i + 1):
            t = H[p, inner[a + j]]
            for k in range(j):
                t -= low[a + i, k] * low[a + j, k]
            if i == j:
                low[a + i, i] = math.sqrt(max(t, PIVOT))
            else:
                low[a + i, j] = t / low[a + j, j]
                s -= low[a + i, j] * ahead[a + j]
        ahead[a + i] = s / low[a + i, i]
    for y in range(work.first_outer[c], work.first_outer[c + 1]):
        s = -work.g[outer[y]]
        for i in range(m):
            t = H[outer[y], inner[a + i]]
            for k in range(i):
                t -= mixed[y, k] * low[a + i, k]
            mixed[y, i] = t / low[a + i, i]
            s -= mixed[y, i] * ahead[a + i]
        ahead[inner.size + y] = s


@njit(cache=True, nogil=True, error_model="numpy", fastmath=True)
def _tissue_system(work: Work, size: int) -> None:
    """Fill ``whole`` (lower half) with what is left for the first ``size`` outer unknowns, and factorise it."""
    H, outer, whole, mixed = work.H, work.outer, work.whole, work.mixed
    for y in range(size):
        for z in range(y + 1):
            whole[y, z] = H[outer[y], outer[z]]
    for c in range(work.first.size - 1):
        m = work.first[c + 1] - work.first[c]
        for y in range(work.first_outer[c], work.first_outer[c + 1]):
            for z in range(work.first_outer[c], y + 1):
                s = 0.0
                for k in range(m):
                    s += mixed[y, k] * mixed[z, k]
                whole[y, z] -= s
    for i in range(size):
        for j in range(i + 1):
            s = whole[i, j]
            for k in range(j):
                s -= whole[i, k] * whole[j, k]
            if i == j:
                whole[i, i] = math.sqrt(max(s, PIVOT))
            else:
                whole[i, j] = s / whole[j, j]


@njit(cache=True, nogil=True, error_model="numpy", fastmath=True)
def newton_step(work: Work, free: bool) -> None:
    """Solve ``H step = -g``, the clamp's motion held at zero unless ``free``."""
    inner, outer, low, mixed, whole, ahead = work.inner, work.outer, work.low, work.mixed, work.whole, work.ahead
    base = inner.size
    size = outer.size if free else outer.size - 1
    ahead[base + outer.size - 1] = -work.g[outer[-1]]
    for c in range(work.first.size - 1):
        _eliminate(work, c)
    _tissue_system(work, size)
    step = work.step
    step[:] = 0.0
    for i in range(size):
        s = ahead[base + i]
        for k in range(i):
            s -= whole[i, k] * ahead[base + k]
        ahead[base + i] = s / whole[i, i]
    for i in range(size - 1, -1, -1):
        s = ahead[base + i] / whole[i, i]
        step[outer[i]] = s
        for k in range(i):
            ahead[base + k] -= whole[i, k] * s
    for c in range(work.first.size - 1):
        a, m = work.first[c], work.first[c + 1] - work.first[c]
        for y in range(work.first_outer[c], work.first_outer[c + 1]):
            for i in range(m):
                ahead[a + i] -= mixed[y, i] * step[outer[y]]
        for i in range(m - 1, -1, -1):
            s = ahead[a + i] / low[a + i, i]
            step[inner[a + i]] = s
            for k in range(i):
                ahead[a + k] -= low[a + i, k] * s


@njit(cache=True, nogil=True, error_model="numpy")
def settle(
    net: Net,
    x: Floats,
    size: int,
    ties: Ties,
    work: Work,
) -> float:
    """Bring the first ``size`` unknowns of ``x`` to the one state of least energy, the clamp's (the last) or not.

    Returns the largest residual force left (N).
    """
    g, step, trial = work.g, work.step, work.trial
    free = size == x.size
    energy = assemble(net, x, free, ties, work)
    residual: float = np.inf
    for _ in range(ITERATIONS):
        residual = 0.0
        for i in range(size):
            residual = max(residual, abs(g[i]))
        if residual < TOLERANCE:
            break
        newton_step(work, free)
        fall = 0.0
        for i in range(size):
            fall += g[i] * step[i]
        scale = 1.0
        trial[:] = x
        moved = False
        for _ in range(HALVINGS):
            for i in range(size):
                trial[i] = x[i] + scale * step[i]
            e = assemble(net, trial, free, ties, work)
            if e <= energy + ARMIJO * scale * fall + TOLERANCE * TOLERANCE * abs(energy):
                moved = True
                break
            scale *= 0.5
        if not moved:
            assemble(net, x, free, ties, work)
            break
        x[:] = trial
        energy = e
    return residual
