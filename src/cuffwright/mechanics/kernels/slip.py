"""Ropes that rub: tension part by part, the capstan's limit at every cut, and slips that last."""

import math

import numpy as np
from numba import njit

from cuffwright.mechanics.kernels.chain import (
    LIMIT,
    LONG,
    PULL,
    REST,
    STIFF,
    TIED,
    gather,
    joined,
    link,
    part_lengths,
    parts_of,
    place,
)
from cuffwright.mechanics.kernels.rope import share_out
from cuffwright.mechanics.net import ON_BOTTOM, Floats, Net, Whole


@njit(cache=True, nogil=True, error_model="numpy")
def rope_tensions(net: Net, x: Floats, state: Whole, stiff: Floats, rest: Floats, limit: Floats, out: Floats) -> None:
    """Write the tension (r, p) N of every part of every tied rope into ``out``; zero where slack."""
    out[:, :] = 0.0
    bag = np.empty((PULL + 1, 2 * out.shape[1]))
    slides = np.zeros(2 * out.shape[1], np.int64)
    for r in range(net.nodes.size):
        mate = joined(net, r, state)
        if state[r] == TIED and not 0 <= mate < r:
            parts = gather(net, x, r, mate, stiff, rest, limit, bag)
            share_out(bag[LONG], bag[STIFF], bag[REST], bag[LIMIT], parts, bag[PULL], slides)
            for i in range(parts):
                rope, part = link(net, r, mate, i)
                out[rope, part] = max(0.0, bag[PULL, i])


@njit(cache=True, nogil=True, error_model="numpy")
def _turn(net: Net, x: Floats, r: int, s: int) -> float:
    """Angle (rad) by which rope ``r`` turns at its node ``s``."""
    p = place(net, x, net.on[r, s - 1], net.which[r, s - 1])
    q = place(net, x, net.on[r, s], net.which[r, s])
    t = place(net, x, net.on[r, s + 1], net.which[r, s + 1])
    return _bend(p, q, t)


@njit(cache=True, nogil=True, error_model="numpy")
def _bend(p: tuple[float, float, float], q: tuple[float, float, float], t: tuple[float, float, float]) -> float:
    """Angle (rad) by which a rope from ``p`` over ``q`` to ``t`` turns."""
    dot, one, two = 0.0, 0.0, 0.0
    for c in range(3):
        dot += (q[c] - p[c]) * (t[c] - q[c])
        one += (q[c] - p[c]) ** 2
        two += (t[c] - q[c]) ** 2
    if one == 0.0 or two == 0.0:
        return 0.0
    return math.acos(max(-1.0, min(1.0, dot / math.sqrt(one * two))))


@njit(cache=True, nogil=True, error_model="numpy")
def wrap_angle(net: Net, x: Floats, r: int, s: int) -> float:
    """Angle (rad) by which rope ``r`` turns round the site of its node ``s``, above and below the tendon."""
    total = _turn(net, x, r, s)
    for other in (s - 1, s + 1):
        inside = 0 < other < net.nodes[r] - 1
        if inside and net.on[r, other] == ON_BOTTOM and net.which[r, other] == net.which[r, s]:
            total += _turn(net, x, r, other)
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def eyelet_angle(net: Net, x: Floats, r: int) -> float:
    """Angle (rad) by which the suture of rope ``r`` turns in its anchor's eyelet, from its first hole to its mate's."""
    mate = net.mate[r]
    p = place(net, x, net.on[r, 1], net.which[r, 1])
    q = place(net, x, net.on[r, 0], net.which[r, 0])
    t = place(net, x, net.on[mate, 1], net.which[mate, 1])
    return _bend(p, q, t)


@njit(cache=True, nogil=True, error_model="numpy")
def rub_limits(net: Net, x: Floats, tension: Floats, out: Floats) -> float:
    """Write the friction (N) at every cut for the parts' ``tension`` (r, p) into ``out``; returns the largest change.

    The capstan law: the tauter part carries at most exp(friction x angle) times the slacker one.
    """
    change = 0.0
    for r in range(net.nodes.size):
        mate = net.mate[r]
        if mate > r:
            c = parts_of(net, r) - 1
            new = math.expm1(net.eyelet * eyelet_angle(net, x, r)) * min(tension[r, 0], tension[mate, 0])
            change = max(change, abs(new - out[r, c]))
            out[r, c] = new
        if net.rub[r] <= 0.0:
            continue
        for s in range(1, net.nodes[r] - 1):
            c = net.part[r, s]
            if net.part[r, s + 1] != c:
                low = min(tension[r, c], tension[r, c + 1])
                new = math.expm1(net.rub[r] * wrap_angle(net, x, r, s)) * low
                change = max(change, abs(new - out[r, c]))
                out[r, c] = new
    return change


@njit(cache=True, nogil=True, error_model="numpy")
def keep_slips(net: Net, x: Floats, state: Whole, stiff: Floats, tension: Floats, rest: Floats) -> None:
    """Take the present slips as lasting: new slack lengths (r, p) mm of every suture whose parts are all taut."""
    long = np.empty(rest.shape[1])
    for r in range(net.nodes.size):
        parts = parts_of(net, r)
        mate = joined(net, r, state)
        least = tension[r, :parts].min()
        if mate >= 0:
            least = min(least, tension[mate, : parts_of(net, mate)].min())
        if (parts > 1 or mate >= 0) and state[r] == TIED and least > 0.0:
            part_lengths(net, x, r, long)
            for i in range(parts):
                rest[r, i] = long[i] - tension[r, i] / stiff[r, i]
