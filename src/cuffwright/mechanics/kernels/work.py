"""Scratch of one ramp, and the order in which its unknowns are eliminated."""

from typing import NamedTuple

import numpy as np
from numba import njit

from cuffwright.mechanics.net import ON_ANCHOR, ON_TOP, STRAP, Floats, Net, Whole

PER_SITE = 5
"""Numerical choice: unknowns per site (X in u and v, Y in u and v, indentation)."""


class Ties(NamedTuple):
    """What holds ropes and sites at one moment; the arrays change while a ramp runs.

    ``state`` (r) says whether a rope is slack, tied or being tensioned, ``stiff`` N/mm and ``rest`` mm (r, p) are its
    parts' stiffness and slack length, ``limit`` (r, p) N the friction at each cut; ``slot`` (n, 2) mm is what has torn,
    ``tied`` (n, 2) mm where the tissue lay when tied, ``grip`` (n) N the friction limit of each site on bone.
    """

    state: Whole
    stiff: Floats
    rest: Floats
    limit: Floats
    slot: Floats
    tied: Floats
    grip: Floats


class Work(NamedTuple):
    """Scratch of one ramp, and the order in which its unknowns are eliminated.

    ``inner`` lists the unknowns of rope contacts and indentations, cluster by cluster, ``first`` where each cluster
    starts; ``outer`` the tissue's, in the same order, with ``first_outer``; the clamp is the last. ``low`` holds
    the clusters' factors, ``mixed`` their coupling to the tissue, ``whole`` what is left for the tissue. ``base`` is
    the sheet's own part of the Hessian, ``shift`` (2n) takes the sites' strain motion. ``touched`` (r, m) lists the
    unknowns that move each rope and its mate, ``touches`` (r) how many they are; ``bag``, ``slides`` serve one suture.
    """

    g: Floats
    H: Floats
    gl: Floats
    touched: Whole
    step: Floats
    trial: Floats
    inner: Whole
    first: Whole
    outer: Whole
    first_outer: Whole
    low: Floats
    mixed: Floats
    whole: Floats
    ahead: Floats
    base: Floats
    shift: Floats
    touches: Whole
    bag: Floats
    slides: Whole


@njit(cache=True, nogil=True, error_model="numpy")
def unknown(net: Net, on: int, which: int, axis: int) -> int:
    """Index of the unknown that moves a rope node along ``axis``, or -1 when it does not move."""
    if on == ON_ANCHOR:
        return -1
    if axis == 2:
        return PER_SITE * which + 4 if on == ON_TOP else -1
    return -1 if net.kind[which] == STRAP else PER_SITE * which + axis


@njit(cache=True, nogil=True, error_model="numpy")
def moving(net: Net, r: int, touched: Whole, n: int) -> int:
    """List the unknowns that move rope ``r`` behind the ``n`` in ``touched``, each once; returns their number."""
    for s in range(net.nodes[r]):
        for c in range(3):
            m = unknown(net, net.on[r, s], net.which[r, s], c)
            known = m < 0
            for k in range(n):
                known = known or touched[k] == m
            if not known:
                touched[n] = m
                n += 1
    return n


@njit(cache=True, nogil=True, error_model="numpy")
def clusters(net: Net) -> Whole:
    """Number (n) of each site's cluster: sites that a suture passes share one."""
    n = net.kind.size
    group = np.arange(n)
    for r in range(net.nodes.size):
        least = n
        for rope in (r, net.mate[r]):
            for s in range(net.nodes[rope] if rope >= 0 else 0):
                if net.on[rope, s] != ON_ANCHOR:
                    least = min(least, group[net.which[rope, s]])
        for rope in (r, net.mate[r]):
            for s in range(net.nodes[rope] if rope >= 0 else 0):
                if net.on[rope, s] != ON_ANCHOR:
                    old = group[net.which[rope, s]]
                    for j in range(n):
                        if group[j] == old:
                            group[j] = least
    return group


@njit(cache=True, nogil=True, error_model="numpy")
def sheet_part(net: Net) -> Floats:
    """The sheet's part of the Hessian (5n + 1, 5n + 1)."""
    n = net.kind.size
    a = PER_SITE * n
    base = np.zeros((a + 1, a + 1))
    drag = np.zeros(2 * n)
    base[a, a] = net.own
    for i in range(2 * n):
        p = PER_SITE * (i // 2) + 2 + i % 2
        for j in range(2 * n):
            base[p, PER_SITE * (j // 2) + 2 + j % 2] = net.stiffness[i, j]
            drag[i] += net.stiffness[i, j] * net.carry[j]
        base[p, a] = base[a, p] = drag[i]
        base[a, a] += net.carry[i] * drag[i]
    return base


@njit(cache=True, nogil=True, error_model="numpy")
def workspace(net: Net) -> Work:
    """Scratch arrays for ``settle``."""
    n = net.kind.size
    size = PER_SITE * n + 1
    group = clusters(net)
    inner = np.zeros(3 * n, np.int64)
    outer = np.zeros(2 * n + 1, np.int64)
    first = np.zeros(n + 1, np.int64)
    first_outer = np.zeros(n + 1, np.int64)
    count, a, b, widest = 0, 0, 0, 1
    for c in range(n):
        begin = a
        for j in range(n):
            if group[j] != c:
                continue
            for k in range(PER_SITE):
                if k == 2 or k == 3:
                    outer[b] = PER_SITE * j + k
                    b += 1
                elif k == 4 or net.kind[j] != STRAP:
                    inner[a] = PER_SITE * j + k
                    a += 1
        if a > begin:
            count += 1
            first[count] = a
            first_outer[count] = b
            widest = max(widest, a - begin)
    outer[b] = size - 1
    ropes, longest = net.on.shape
    touched = np.zeros((ropes, 2 * 3 * longest), np.int64)
    touches = np.zeros(ropes, np.int64)
    for r in range(ropes):
        touches[r] = moving(net, r, touched[r], touches[r])
        if net.mate[r] >= 0:
            touches[r] = moving(net, net.mate[r], touched[r], touches[r])
    most = 2 * (net.part.max() + 1)
    base = sheet_part(net)
    return Work(
        np.zeros(size),
        np.zeros((size, size)),
        np.zeros((2, size)),
        touched,
        np.zeros(size),
        np.zeros(size),
        inner[:a].copy(),
        first[: count + 1].copy(),
        outer,
        first_outer[: count + 1].copy(),
        np.zeros((a, widest)),
        np.zeros((b + 1, widest)),
        np.zeros((b + 1, b + 1)),
        np.zeros(a + b + 1),
        base,
        np.zeros(2 * n),
        touches,
        np.zeros((PER_SITE, most)),
        np.zeros(most, np.int64),
    )
