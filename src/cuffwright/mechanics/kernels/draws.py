"""Many ramps of one repair with moved and scattered members, without the interpreter."""

import math

import numpy as np
from numba import njit

from cuffwright.mechanics.kernels.energy import spring
from cuffwright.mechanics.kernels.ramp import rise, tie
from cuffwright.mechanics.net import Curve, Floats, Net

Four = tuple[Floats, Floats, Floats, Floats]

FULL = 1e9
"""Numerical choice: a load no ramp reaches, N."""


@njit(cache=True, nogil=True, error_model="numpy")
def _span(weights: Floats) -> tuple[int, int]:
    """First and one past the last entry of ``weights`` that is not zero."""
    first, last = 0, weights.size
    while first < last - 1 and weights[first] == 0.0:
        first += 1
    while last > first + 1 and weights[last - 1] == 0.0:
        last -= 1
    return first, last


@njit(cache=True, nogil=True, error_model="numpy")
def gather(flex: Floats, edge: Floats, across: Floats, along: Floats, A: Floats, e: Floats) -> None:
    """Site flexibility (2n, 2n) into ``A`` and edge motion (2n) into ``e``, both mm/N.

    ``flex`` (2N, 2N) and ``edge`` (2N) are the sheet's, u fastest; ``across`` (n, nu) and ``along`` (n, nv)
    each site's patch weights on the grid lines.
    """
    n, columns = across.shape
    ends = np.empty((n, 4), np.int64)
    for i in range(n):
        ends[i, 0], ends[i, 1] = _span(across[i])
        ends[i, 2], ends[i, 3] = _span(along[i])
    for i in range(n):
        for c in range(2):
            e[2 * i + c] = 0.0
        for j in range(i, n):
            uu, uv, vu, vv = 0.0, 0.0, 0.0, 0.0
            for q in range(ends[i, 2], ends[i, 3]):
                for p in range(ends[i, 0], ends[i, 1]):
                    share = along[i, q] * across[i, p]
                    row = 2 * (q * columns + p)
                    if j == i:
                        e[2 * i] += share * edge[row]
                        e[2 * i + 1] += share * edge[row + 1]
                    for s in range(ends[j, 2], ends[j, 3]):
                        for r in range(ends[j, 0], ends[j, 1]):
                            both = share * along[j, s] * across[j, r]
                            column = 2 * (s * columns + r)
                            uu += both * flex[row, column]
                            uv += both * flex[row, column + 1]
                            vu += both * flex[row + 1, column]
                            vv += both * flex[row + 1, column + 1]
            a, b = 2 * i, 2 * j
            A[a, b], A[a, b + 1], A[a + 1, b], A[a + 1, b + 1] = uu, uv, vu, vv
            A[b, a], A[b + 1, a], A[b, a + 1], A[b + 1, a + 1] = uu, uv, vu, vv


@njit(cache=True, nogil=True, error_model="numpy")
def crossing(force: Floats, load: float) -> tuple[int, float]:
    """Row at which ``force`` first reaches ``load`` and the share of the step to it; row -1 when it never does."""
    for i in range(force.size):
        if force[i] >= load:
            if i == 0:
                return 0, 1.0
            return i, (load - force[i - 1]) / (force[i] - force[i - 1])
    return -1, 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def _read(values: Floats, row: int, share: float) -> float:
    """The value a ``share`` of the step before ``row``, or nan for row -1."""
    found: float = math.nan
    if row >= 0:
        found = share * values[row] + (1.0 - share) * values[max(row - 1, 0)]
    return found


@njit(cache=True, nogil=True, error_model="numpy")
def carried(net: Net, curve: Curve, load: float, out: Floats) -> None:
    """Write what ropes, holes and anchors carry at ``load`` newtons into ``out`` (r + h + k) N; nan: not reached."""
    row, share = crossing(curve.force, load)
    ropes, anchors = net.nodes.size, net.hold.size
    holes = out.size - ropes - anchors
    for r in range(ropes):
        out[r] = _read(curve.tension[:, r], row, share)
    for j in range(holes):
        du = _read(curve.slot[:, j, 0], row, share)
        dv = _read(curve.slot[:, j, 1], row, share)
        out[ropes + j] = spring(math.hypot(du, dv), net.bearing[j], net.tear[j], net.hard)[1] if row >= 0 else math.nan
    for k in range(anchors):
        out[ropes + holes + k] = _read(curve.anchor[:, k], row, share)


@njit(cache=True, nogil=True, error_model="numpy")
def run(
    net: Net,
    flex: Floats,
    edge: Floats,
    ridge: float,
    moved: Four,
    scattered: Four,
    numbers: Floats,
    out: Floats,
    loads: Floats,
) -> None:
    """Ramp every draw; fill ``out`` (d, 5): ultimate, first kind and index, gap at load, stiffness; and ``loads``.

    ``moved`` holds sites' patch weights across (d, n, nu) and along (d, n, nv), places (d, n, 2) and anchors
    (d, k, 3); ``scattered`` tear (d, n), tension (d, r), strength (d, r) and hold (d, k); ``numbers`` (5) are
    step, reach, the load of gap and ``loads``, and the ends of the stiffness (N, share of the ultimate).
    ``loads`` (d, r + h + k) takes what each rope, hole and anchor carries at that load.
    """
    across, along, at, anchor = moved
    tear, tension, strength, hold = scattered
    draws, n = tear.shape
    A = np.empty((2 * n, 2 * n))
    slot = np.zeros((n, 2))
    for d in range(draws):
        e = np.empty(2 * n)
        gather(flex, edge, across[d], along[d], A, e)
        more = ridge * A.max()
        for i in range(2 * n):
            A[i, i] += more
        inverse = np.linalg.inv(A)
        one = Net(
            net.kind,
            at[d],
            net.bearing,
            tear[d],
            net.loss,
            net.press,
            net.thick,
            0.5 * (inverse + inverse.T),
            e,
            net.on,
            net.which,
            net.nodes,
            tension[d],
            net.give,
            strength[d],
            net.stage,
            anchor[d],
            hold[d],
            net.thread,
            net.friction,
            net.stick,
            net.hard,
            net.bend,
            net.floor,
            net.preload,
        )
        tied, stiff, rest = tie(one)
        curve = rise(one, tied, stiff, rest, slot, numbers[0], numbers[1], FULL)
        ultimate = curve.force.max()
        out[d, 0] = ultimate
        out[d, 1] = -1.0
        out[d, 2] = -1.0
        if curve.events.shape[0] > 0:
            out[d, 1] = curve.events[0, 1]
            out[d, 2] = curve.events[0, 2]
        row, share = crossing(curve.force, numbers[2])
        out[d, 3] = _read(curve.edge, row, share)
        high = numbers[4] * ultimate
        row, share = crossing(curve.force, numbers[3])
        begin = _read(curve.clamp, row, share)
        row, share = crossing(curve.force, high)
        end = _read(curve.clamp, row, share)
        out[d, 4] = (high - numbers[3]) / (end - begin) if high > numbers[3] else math.nan
        carried(one, curve, numbers[2], loads[d])
