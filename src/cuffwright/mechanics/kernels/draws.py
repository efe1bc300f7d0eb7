"""Many ramps of one repair with moved and scattered members, without the interpreter."""

import math
from typing import NamedTuple

import numpy as np
from numba import njit

from cuffwright.mechanics.kernels.energy import spring
from cuffwright.mechanics.kernels.ramp import rise, tie
from cuffwright.mechanics.net import Curve, Floats, Net, Whole

Four = tuple[Floats, Floats, Floats, Floats]


class Plate(NamedTuple):
    """The sheet's arrays, as in ``Sheet``, and whether its muscle end is free."""

    flex: Floats
    edge: Floats
    solid: Floats
    ride: Floats
    bulk: Floats
    lead: Floats
    free: bool


FULL = 1e9
"""Numerical choice: a load no ramp reaches, N."""

ROUGH = 0.3
"""Numerical choice: friction of sliding ropes is settled to this in a draw, N; means move by under 0.1 %."""


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
def _patches(solid: Floats, across: Floats, along: Floats) -> tuple[Floats, Whole, Whole]:
    """Every site's patch as a list: weights (n, m), nodes (n, m) and their number (n).

    A patch keeps to the tissue; one that scatter moved wholly off it lies on the soft rest there.
    """
    n, columns = across.shape
    ends = np.empty((n, 4), np.int64)
    most = 1
    for i in range(n):
        ends[i, 0], ends[i, 1] = _span(across[i])
        ends[i, 2], ends[i, 3] = _span(along[i])
        most = max(most, (ends[i, 1] - ends[i, 0]) * (ends[i, 3] - ends[i, 2]))
    weights = np.zeros((n, most))
    nodes = np.zeros((n, most), np.int64)
    count = np.zeros(n, np.int64)
    for i in range(n):
        total = 0.0
        for blind in (False, True):
            for q in range(ends[i, 2], ends[i, 3]):
                for p in range(ends[i, 0], ends[i, 1]):
                    node = q * columns + p
                    share = along[i, q] * across[i, p] * (1.0 if blind else solid[node])
                    if share > 0.0:
                        weights[i, count[i]] = share
                        nodes[i, count[i]] = node
                        count[i] += 1
                        total += share
            if count[i] > 0:
                break
        for k in range(count[i]):
            weights[i, k] /= total
    return weights, nodes, count


@njit(cache=True, nogil=True, error_model="numpy")
def gather(plate: Plate, across: Floats, along: Floats, A: Floats, e: Floats, ride: Floats) -> None:
    """Site flexibility (2n, 2n) into ``A``, edge motion (2n) into ``e`` (mm/N), muscle-end modes (2n, 3) into ``ride``.

    ``across`` (n, nu) and ``along`` (n, nv) are each site's patch weights on the grid lines.
    """
    n = across.shape[0]
    weights, nodes, count = _patches(plate.solid, across, along)
    for i in range(n):
        e[2 * i : 2 * i + 2] = 0.0
        ride[2 * i : 2 * i + 2, :] = 0.0
        for k in range(count[i]):
            for c in range(2):
                row = 2 * nodes[i, k] + c
                e[2 * i + c] += weights[i, k] * plate.edge[row]
                for m in range(3):
                    ride[2 * i + c, m] += weights[i, k] * plate.ride[row, m]
        for j in range(i, n):
            uu, uv, vu, vv = 0.0, 0.0, 0.0, 0.0
            for k in range(count[i]):
                row = 2 * nodes[i, k]
                for m in range(count[j]):
                    both = weights[i, k] * weights[j, m]
                    column = 2 * nodes[j, m]
                    uu += both * plate.flex[row, column]
                    uv += both * plate.flex[row, column + 1]
                    vu += both * plate.flex[row + 1, column]
                    vv += both * plate.flex[row + 1, column + 1]
            a, b = 2 * i, 2 * j
            A[a, b], A[a, b + 1], A[a + 1, b], A[a + 1, b + 1] = uu, uv, vu, vv
            A[b, a], A[b + 1, a], A[b, a + 1], A[b + 1, a + 1] = uu, uv, vu, vv


@njit(cache=True, nogil=True, error_model="numpy")
def held(A: Floats, ride: Floats, plate: Plate, ridge: float) -> tuple[Floats, Floats]:
    """Stiffness (2n, 2n) N/mm between the sites and the edge's ``swing`` (2n), from flexibility and muscle-end modes.

    A guided muscle end holds; a free one yields sideways and turns without force until it is at rest.
    """
    size = A.shape[0]
    inverse = np.linalg.inv(A + ridge * A.max() * np.eye(size))
    K = 0.5 * (inverse + inverse.T)
    swing = np.zeros(size)
    if plate.free:
        modes = np.ascontiguousarray(ride[:, 1:])
        push = K @ modes
        rest = np.linalg.inv(modes.T @ push + plate.bulk[1:, 1:])
        swing[:] = push @ (rest @ plate.lead[1:])
        K = K - push @ rest @ push.T
    return K, swing


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
    plate: Plate,
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
        ride = np.empty((2 * n, 3))
        gather(plate, across[d], along[d], A, e, ride)
        K, swing = held(A, ride, plate, ridge)
        one = Net(
            net.kind,
            at[d],
            net.bearing,
            tear[d],
            net.loss,
            net.press,
            net.thick,
            K,
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
            net.part,
            net.rub,
            ride[:, 0].copy(),
            net.own,
            net.lead,
            swing,
            net.mate,
            net.eyelet,
        )
        tied, stiff, rest = tie(one)
        curve = rise(one, tied, stiff, rest, slot, numbers[0], numbers[1], FULL, ROUGH)
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
