"""The way of a suture: where a rope's nodes are, how long its parts, and which parts run on into each other.

The two limbs of a suture that runs through an anchor's eyelet are one chain of parts once both are tied.
"""

import math

from numba import njit

from cuffwright.mechanics.kernels.work import PER_SITE
from cuffwright.mechanics.net import ON_ANCHOR, ON_TOP, STRAP, Floats, Net, Whole

SLACK, TIED, TENSIONED = 0, 1, 2

LONG, STIFF, REST, LIMIT, PULL = 0, 1, 2, 3, 4


@njit(cache=True, nogil=True, error_model="numpy")
def place(net: Net, x: Floats, on: int, which: int) -> tuple[float, float, float]:
    """The place (u, v, z) in mm of one rope node."""
    if on == ON_ANCHOR:
        return net.anchor[which, 0], net.anchor[which, 1], net.anchor[which, 2]
    b = PER_SITE * which
    u, v = net.at[which, 0], net.at[which, 1]
    if net.kind[which] != STRAP:
        u += x[b]
        v += x[b + 1]
    z = net.thick[which] - x[b + 4] if on == ON_TOP else net.floor
    return u, v, z


@njit(cache=True, nogil=True, error_model="numpy")
def part_lengths(net: Net, x: Floats, r: int, out: Floats) -> float:
    """Write the lengths (mm) of the parts of rope ``r`` into ``out``, corners rounded; returns the whole length."""
    total = 0.0
    p = place(net, x, net.on[r, 0], net.which[r, 0])
    out[net.part[r, 1]] = 0.0
    for s in range(1, net.nodes[r]):
        q = place(net, x, net.on[r, s], net.which[r, s])
        square = net.bend * net.bend + (q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2 + (q[2] - p[2]) ** 2
        p = q
        if net.part[r, s] != net.part[r, max(s - 1, 1)]:
            out[net.part[r, s]] = 0.0
        out[net.part[r, s]] += math.sqrt(square)
        total += math.sqrt(square)
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def lengths(net: Net, x: Floats, out: Floats) -> None:
    """Write the lengths (mm) of every rope's parts into ``out`` (r, p)."""
    for r in range(net.nodes.size):
        part_lengths(net, x, r, out[r])


@njit(cache=True, nogil=True, error_model="numpy")
def parts_of(net: Net, r: int) -> int:
    """Number of parts of rope ``r``."""
    last: int = net.part[r, net.nodes[r] - 1]
    return last + 1


@njit(cache=True, nogil=True, error_model="numpy")
def joined(net: Net, r: int, state: Whole) -> int:
    """The rope that ``r`` runs on into through an eyelet while both are tied, or -1."""
    mate: int = net.mate[r]
    return mate if mate >= 0 and state[r] == TIED and state[mate] == TIED else -1


@njit(cache=True, nogil=True, error_model="numpy")
def link(net: Net, r: int, mate: int, i: int) -> tuple[int, int]:
    """Rope and part at place ``i`` of the chain of ``r`` alone, or from its far end through the eyelet on."""
    own = parts_of(net, r)
    if mate < 0:
        return r, i
    return (r, own - 1 - i) if i < own else (mate, i - own)


@njit(cache=True, nogil=True, error_model="numpy")
def gather(net: Net, x: Floats, r: int, mate: int, stiff: Floats, rest: Floats, limit: Floats, bag: Floats) -> int:
    """Lay the chain of ``r`` and its ``mate`` (-1: none) into rows LONG, STIFF, REST, LIMIT of ``bag``; returns parts.

    ``stiff``, ``rest``, ``limit`` (r, p) are all ropes'; the friction at an eyelet stands behind the last cut of ``r``.
    """
    own = parts_of(net, r)
    parts = own
    part_lengths(net, x, r, bag[LONG])
    if mate >= 0:
        for i in range(own // 2):
            bag[LONG, i], bag[LONG, own - 1 - i] = bag[LONG, own - 1 - i], bag[LONG, i]
        part_lengths(net, x, mate, bag[LONG, own:])
        parts += parts_of(net, mate)
    for i in range(parts):
        rope, part = link(net, r, mate, i)
        bag[STIFF, i] = stiff[rope, part]
        bag[REST, i] = rest[rope, part]
        if mate >= 0 and i < own:
            bag[LIMIT, i] = limit[r, own - 1 if i == own - 1 else own - 2 - i]
        else:
            bag[LIMIT, i] = limit[rope, part]
    return parts
