"""The energy of a repair, its slope and curvature.

Unknowns per site are the rope's contact point X (u, v), the tissue Y (u, v) and the indentation w; the last
unknown is the clamp's motion along the pull, held while pulling and free (under the preload) while tying.
"""

import math

import numpy as np
from numba import njit

from cuffwright.mechanics.kernels.chain import SLACK
from cuffwright.mechanics.kernels.rope import rope_energy
from cuffwright.mechanics.kernels.work import PER_SITE, Ties, Work
from cuffwright.mechanics.net import STRAP, Floats, Net


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
def _site_energy(net: Net, x: Floats, j: int, ties: Ties, g: Floats, H: Floats) -> float:
    """Add bearing, friction and thickness energy of site ``j`` to ``g`` and ``H``, and return it."""
    b = PER_SITE * j
    energy: float = 0.0
    for law in range(2):
        if law == 0:
            if net.kind[j] == STRAP:
                H[b, b] = 1.0
                H[b + 1, b + 1] = 1.0
                continue
            du = x[b] - x[b + 2] - ties.slot[j, 0]
            dv = x[b + 1] - x[b + 3] - ties.slot[j, 1]
            first, tear, hard = net.bearing[j], net.tear[j], net.hard
        else:
            if ties.grip[j] <= 0.0:
                continue
            du = x[b + 2] - ties.tied[j, 0]
            dv = x[b + 3] - ties.tied[j, 1]
            first, tear, hard = net.stick, ties.grip[j], 0.0
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
def _clear(work: Work) -> None:
    """Set the Hessian's entries that are ever used to the sheet's own part."""
    H, inner, outer, base = work.H, work.inner, work.outer, work.base
    for c in range(work.first.size - 1):
        for i in range(work.first[c], work.first[c + 1]):
            for j in range(work.first[c], work.first[c + 1]):
                H[inner[i], inner[j]] = 0.0
            for j in range(work.first_outer[c], work.first_outer[c + 1]):
                H[inner[i], outer[j]] = 0.0
                H[outer[j], inner[i]] = 0.0
    for i in range(outer.size):
        for j in range(outer.size):
            H[outer[i], outer[j]] = base[outer[i], outer[j]]


@njit(cache=True, nogil=True, error_model="numpy")
def _sheet_energy(net: Net, x: Floats, work: Work) -> float:
    """Start the gradient and Hessian of ``work`` with those of the stretched sheet, and return its energy."""
    n = net.kind.size
    a = PER_SITE * n
    g, shift = work.g, work.shift
    g[:] = 0.0
    _clear(work)
    for i in range(2 * n):
        shift[i] = x[PER_SITE * (i // 2) + 2 + i % 2] + net.carry[i] * x[a]
    energy: float = 0.5 * net.own * x[a] * x[a]
    g[a] = net.own * x[a]
    for i in range(2 * n):
        force = 0.0
        for j in range(2 * n):
            force += net.stiffness[i, j] * shift[j]
        g[PER_SITE * (i // 2) + 2 + i % 2] = force
        g[a] += net.carry[i] * force
        energy += 0.5 * force * shift[i]
    return energy


@njit(cache=True, nogil=True, error_model="numpy")
def assemble(
    net: Net,
    x: Floats,
    free: bool,
    ties: Ties,
    work: Work,
) -> float:
    """Energy (N mm) at ``x``, its gradient and Hessian into ``work``; infinite where crushed through."""
    n = net.kind.size
    a = PER_SITE * n
    for j in range(n):
        if x[PER_SITE * j + 4] >= net.thick[j]:
            return np.inf
    energy = _sheet_energy(net, x, work)
    for j in range(n):
        energy += _site_energy(net, x, j, ties, work.g, work.H)
    if free:
        work.g[a] -= net.preload
        energy -= net.preload * x[a]
    for r in range(net.nodes.size):
        if ties.state[r] != SLACK:
            energy += rope_energy(net, x, r, ties, work)
    return energy
