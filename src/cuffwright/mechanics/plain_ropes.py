"""Ropes of the plain twin: affine maps of all their nodes, and slips found by trying every combination."""

from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.net import ON_ANCHOR, ON_BOTTOM, ON_TOP, STRAP, Floats, Net, Whole

PER_SITE = 5
"""Numerical choice: unknowns per site (X and Y in the plane, indentation)."""


@dataclass
class Maps:
    """Affine maps of a net: unknowns are X (2n), Y (2n), w (n) in that order."""

    net: Net
    start: Floats = field(init=False)
    segments: Floats = field(init=False)
    used: NDArray[np.bool_] = field(init=False)
    rows: tuple[Whole, Whole] = field(init=False)
    belongs: Floats = field(init=False)

    def __post_init__(self) -> None:
        net, n = self.net, self.net.kind.size
        ropes, longest = net.on.shape
        start = np.zeros((ropes, longest, 3))
        motion = np.zeros((ropes, longest, 3, PER_SITE * n))
        site, free = net.which, (net.on != ON_ANCHOR) & (net.kind[np.minimum(net.which, n - 1)] != STRAP)
        anchored = net.on == ON_ANCHOR
        start[anchored] = net.anchor[site[anchored]]
        start[~anchored, :2] = net.at[site[~anchored]]
        start[net.on == ON_BOTTOM, 2] = net.floor
        top = net.on == ON_TOP
        start[top, 2] = net.thick[site[top]]
        r, s = np.nonzero(free)
        for axis in range(2):
            motion[r, s, axis, 2 * site[r, s] + axis] = 1.0
        r, s = np.nonzero(top)
        motion[r, s, 2, 4 * n + site[r, s]] = -1.0
        self.used = np.arange(1, longest)[None, :] < net.nodes[:, None]
        self.start = np.diff(start, axis=1)
        self.segments = np.diff(motion, axis=1)
        self.rows = (np.arange(ropes), net.nodes - 1)
        numbers = np.arange(net.part.max() + 1)
        self.belongs = (net.part[:, 1:, None] == numbers) * self.used[:, :, None] * 1.0

    def ropes(self, z: Floats) -> tuple[Floats, Floats, Floats]:
        """Segment vectors (r, m, 3), their rounded lengths (r, m) and those of the parts (r, p), mm."""
        d = self.start + self.segments @ z
        long = np.sqrt((d * d).sum(axis=2) + self.net.bend**2) * self.used
        return d, long, np.einsum("rs,rsp->rp", long, self.belongs)


@dataclass
class Load:
    """What holds the ropes and sites at one moment: clamp, rope states and what is torn or tied."""

    clamp: float
    live: NDArray[np.bool_]
    pulled: NDArray[np.bool_]
    stiff: Floats
    rest: Floats
    limit: Floats
    slot: Floats
    tied: Floats
    grip: Floats


def slide(long: Floats, stiff: Floats, rest: Floats, limit: Floats) -> tuple[float, Floats, list[list[int]]]:
    """Energy, tension of every part and the runs of parts that slide into one another, of one tied rope.

    Every way in which the cuts can stick or slide is tried; the one of least energy among those whose sticking cuts
    stay within their limit and whose sliding ones slide the right way is the state.
    """
    count = long.size
    best: tuple[float, float, Floats, list[list[int]]] | None = None
    for ways in product((0, 1, -1), repeat=count - 1):
        runs = [[0]]
        for c, way in enumerate(ways):
            if way:
                runs[-1].append(c + 1)
            else:
                runs.append([c + 1])
        steps = np.concatenate(([0.0], -np.cumsum(np.array(ways) * limit[: count - 1])))
        pull = np.zeros(count)
        for run in runs:
            lift = steps[run] - steps[run[0]]
            base = (long[run] - rest[run] - lift / stiff[run]).sum() / (1.0 / stiff[run]).sum()
            pull[run] = base + lift
        flow = np.cumsum(long - pull / stiff - rest)[:-1]
        over = np.diff(pull)
        stray = [abs(over[c]) - limit[c] if way == 0 else -way * flow[c] for c, way in enumerate(ways)]
        worst = max([0.0, *stray])
        energy = 0.5 * float((np.maximum(pull, 0.0) ** 2 / stiff).sum()) + float(limit[: count - 1] @ np.abs(flow))
        if best is None or (worst, energy) < best[:2]:
            best = (worst, energy, pull, runs)
    assert best is not None
    return best[1:]


def tensions(maps: Maps, z: Floats, load: Load) -> Floats:
    """Tension (r, p) N of every part of every tied rope that is still there."""
    path = maps.ropes(z)[2]
    out = np.zeros(path.shape)
    for r in np.flatnonzero(load.live & ~load.pulled):
        count = maps.net.part[r, maps.net.nodes[r] - 1] + 1
        out[r, :count] = slide(path[r, :count], load.stiff[r, :count], load.rest[r, :count], load.limit[r])[1]
    return np.maximum(out, 0.0)


def rope_pulls(maps: Maps, z: Floats, load: Load) -> tuple[float, Floats, Floats]:
    """Energy, gradient and Hessian of all ropes."""
    net = maps.net
    d, long, path = maps.ropes(z)
    length = np.where(maps.used, long, 1.0)
    unit = d / length[:, :, None] * maps.used[:, :, None]
    slopes = np.einsum("rsc,rscz->rsz", unit, maps.segments)
    parts = np.einsum("rsp,rsz->rpz", maps.belongs, slopes)
    tension = np.zeros(path.shape)
    size = maps.segments.shape[-1]
    stored, H = 0.0, np.zeros((size, size))
    for r in np.flatnonzero(load.live):
        count = net.part[r, net.nodes[r] - 1] + 1
        if load.pulled[r]:
            tension[r, :count] = net.tension[r]
            stored += net.tension[r] * path[r].sum()
            continue
        stiff = load.stiff[r, :count]
        energy, pull, runs = slide(path[r, :count], stiff, load.rest[r, :count], load.limit[r])
        stored += energy
        tension[r, :count] = np.maximum(pull, 0.0)
        for run in runs:
            if pull[run[-1]] > 0.0:
                slope = parts[r, run].sum(axis=0)
                H += np.outer(slope, slope) / (1.0 / stiff[run]).sum()
    each = np.einsum("rsp,rp->rs", maps.belongs, tension)
    bend = (np.eye(3) - unit[:, :, :, None] * unit[:, :, None, :]) * (maps.used / length)[:, :, None, None]
    turned = (bend * each[:, :, None, None]) @ maps.segments
    H += maps.segments.reshape(-1, size).T @ turned.reshape(-1, size)
    return stored, np.einsum("rp,rpz->z", tension, parts), H


def rub_limits(maps: Maps, z: Floats, tension: Floats, before: Floats) -> Floats:
    """Friction (r, p) N at the cut behind every part: the slacker part's tension times exp(friction x angle) - 1."""
    net, out = maps.net, before.copy()
    d = maps.ropes(z)[0]
    for r in np.flatnonzero(net.rub > 0.0):
        nodes = net.nodes[r]
        turns = np.zeros(nodes)
        for s in range(1, nodes - 1):
            sizes = np.linalg.norm(d[r, s - 1]) * np.linalg.norm(d[r, s])
            turns[s] = np.arccos(np.clip(d[r, s - 1] @ d[r, s] / sizes, -1.0, 1.0)) if sizes else 0.0
        for cut in np.flatnonzero(np.diff(net.part[r, 1:nodes])):
            s = int(cut) + 1
            beside = [t for t in (s - 1, s + 1) if net.on[r, t] == ON_BOTTOM and net.which[r, t] == net.which[r, s]]
            c = int(net.part[r, s])
            out[r, c] = np.expm1(net.rub[r] * turns[[s, *beside]].sum()) * tension[r, c : c + 2].min()
    return out


def keep_slips(maps: Maps, z: Floats, part: Floats, load: Load) -> None:
    """Take the present slips as lasting in every rope whose parts are all taut."""
    path = maps.ropes(z)[2]
    used = np.arange(path.shape[1])[None, :] <= maps.net.part[maps.rows][:, None]
    taut = load.live & (maps.net.rub > 0.0) & ((part > 0.0) | ~used).all(axis=1)
    load.rest = np.where(taut[:, None] & used, path - part / load.stiff, load.rest)
