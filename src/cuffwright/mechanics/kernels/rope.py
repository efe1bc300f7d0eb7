"""Ropes: where their nodes are, how long their parts are, what tension each part carries.

A rope that rubs is cut into parts at every site it turns round; a suture whose two limbs run on into each other
through an anchor's eyelet is one chain of parts, cut there too. Across a cut the tension may differ by up to a limit
(N); beyond it the rope slides from the slacker part to the tauter one. For fixed limits the least energy of
a rope over its slips is a convex function of its parts' lengths, so Newton stays safe.
"""

import math

from numba import njit

from cuffwright.mechanics.kernels.chain import (
    LIMIT,
    LONG,
    PULL,
    REST,
    STIFF,
    TENSIONED,
    TIED,
    gather,
    joined,
    link,
    place,
)
from cuffwright.mechanics.kernels.work import Ties, Work, unknown
from cuffwright.mechanics.net import Floats, Net, Whole

ROUNDS = 40
"""Numerical choice: changes of the set of sliding cuts allowed for one rope; two or three are usual."""

STILL = 1e-12
"""Numerical choice: slip (mm) or excess tension (N) too small to change what slides."""


@njit(cache=True, nogil=True, error_model="numpy")
def _balance(
    long: Floats, stiff: Floats, rest: Floats, limit: Floats, slides: Whole, first: int, parts: int, pull: Floats
) -> tuple[int, float]:
    """Tensions of the run of parts from ``first`` on that slide into one another; its end and joint softness (mm/N)."""
    last = first
    step = 0.0
    spare = long[first] - rest[first]
    soft = 1.0 / stiff[first]
    pull[first] = 0.0
    while last < parts - 1 and slides[last] != 0:
        step -= slides[last] * limit[last]
        last += 1
        spare += long[last] - rest[last] - step / stiff[last]
        soft += 1.0 / stiff[last]
        pull[last] = step
    for i in range(first, last + 1):
        pull[i] += spare / soft
    return last + 1, soft


@njit(cache=True, nogil=True, error_model="numpy")
def share_out(
    long: Floats, stiff: Floats, rest: Floats, limit: Floats, parts: int, pull: Floats, slides: Whole
) -> float:
    """Write the tension (N) of every part of a tied rope into ``pull`` and what slides into ``slides``.

    ``long``, ``stiff``, ``rest`` are the parts' lengths (mm), stiffness (N/mm) and slack lengths (mm), ``limit``
    (N) the friction at the cut behind each part; ``slides`` is 1 where the part before the cut draws rope in, -1
    where it gives rope. Returns the energy (N mm). Tensions below zero mean slack.
    """
    for c in range(parts):
        slides[c] = 0
    for _ in range(ROUNDS):
        first = 0
        while first < parts:
            first, _soft = _balance(long, stiff, rest, limit, slides, first, parts, pull)
        changed = False
        flow = 0.0
        for c in range(parts - 1):
            flow += long[c] - pull[c] / stiff[c] - rest[c]
            over = pull[c] - pull[c + 1]
            if slides[c] == 0 and abs(over) > limit[c] + STILL:
                slides[c] = 1 if over > 0.0 else -1
                changed = True
            elif slides[c] * flow < -STILL:
                slides[c] = 0
                changed = True
        if not changed:
            break
    energy = 0.0
    flow = 0.0
    for c in range(parts):
        energy += 0.5 * max(0.0, pull[c]) ** 2 / stiff[c]
        if c < parts - 1:
            flow += long[c] - pull[c] / stiff[c] - rest[c]
            energy += limit[c] * abs(flow)
    return energy


@njit(cache=True, nogil=True, error_model="numpy")
def _segment(net: Net, x: Floats, r: int, s: int, pull: float, H: Floats, gl: Floats) -> None:
    """Add segment ``s - 1`` to ``s`` of rope ``r``: length slope to ``gl``, turning under ``pull`` to ``H``."""
    p = place(net, x, net.on[r, s - 1], net.which[r, s - 1])
    q = place(net, x, net.on[r, s], net.which[r, s])
    away = (q[0] - p[0], q[1] - p[1], q[2] - p[2])
    long = math.sqrt(net.bend * net.bend + away[0] ** 2 + away[1] ** 2 + away[2] ** 2)
    for c in range(3):
        i = unknown(net, net.on[r, s - 1], net.which[r, s - 1], c)
        j = unknown(net, net.on[r, s], net.which[r, s], c)
        slope = away[c] / long if c < 2 else -away[c] / long
        if i >= 0:
            gl[i] -= slope
        if j >= 0:
            gl[j] += slope
        for b in range(3):
            k = unknown(net, net.on[r, s - 1], net.which[r, s - 1], b)
            m = unknown(net, net.on[r, s], net.which[r, s], b)
            bend = pull * ((1.0 if b == c else 0.0) - away[b] * away[c] / (long * long)) / long
            if (b == 2) != (c == 2):
                bend = -bend
            if i >= 0 and k >= 0:
                H[i, k] += bend
            if j >= 0 and m >= 0:
                H[j, m] += bend
            if i >= 0 and m >= 0:
                H[i, m] -= bend
            if j >= 0 and k >= 0:
                H[j, k] -= bend


@njit(cache=True, nogil=True, error_model="numpy")
def _stretch(work: Work, r: int, soft: float) -> None:
    """Add the stretching of a run of parts of joint softness ``soft`` (mm/N; 0: none) and begin the next run."""
    H, slope, touched = work.H, work.gl[1], work.touched[r]
    n = work.touches[r]
    if soft > 0.0:
        for k in range(n):
            for b in range(n):
                H[touched[k], touched[b]] += slope[touched[k]] * slope[touched[b]] / soft
    for k in range(n):
        slope[touched[k]] = 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def rope_energy(net: Net, x: Floats, r: int, ties: Ties, work: Work) -> float:
    """Add the energy of one rope, or of a suture through an eyelet, to the gradient and Hessian of ``work``; return it.

    A suture is added once, with the first of its two ropes.
    """
    mate = joined(net, r, ties.state)
    energy: float = 0.0
    if 0 <= mate < r:
        return energy
    g, gl, bag, slides = work.g, work.gl, work.bag, work.slides
    parts = gather(net, x, r, mate, ties.stiff, ties.rest, ties.limit, bag)
    pull = bag[PULL]
    if ties.state[r] == TENSIONED:
        for i in range(parts):
            pull[i] = net.tension[r]
            energy += net.tension[r] * bag[LONG, i]
    else:
        energy = share_out(bag[LONG], bag[STIFF], bag[REST], bag[LIMIT], parts, pull, slides)
    if pull[:parts].max() <= 0.0:
        return energy
    touched, n = work.touched[r], work.touches[r]
    for k in range(n):
        gl[1, touched[k]] = 0.0
    soft = 0.0
    for i in range(parts):
        rope, part = link(net, r, mate, i)
        for k in range(n):
            gl[0, touched[k]] = 0.0
        force = max(0.0, pull[i])
        for s in range(1, net.nodes[rope]):
            if net.part[rope, s] == part:
                _segment(net, x, rope, s, force, work.H, gl[0])
        for k in range(n):
            g[touched[k]] += force * gl[0, touched[k]]
            gl[1, touched[k]] += gl[0, touched[k]]
        soft += 1.0 / bag[STIFF, i]
        if i < parts - 1 and slides[i] != 0:
            continue
        _stretch(work, r, soft if ties.state[r] == TIED and force > 0.0 else 0.0)
        soft = 0.0
    return energy
