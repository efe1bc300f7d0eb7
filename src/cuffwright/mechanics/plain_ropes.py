"""Ropes of the plain twin: affine maps of all their nodes, their pulls and the friction they meet."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.net import ON_ANCHOR, ON_BOTTOM, ON_TOP, STRAP, Floats, Net, Whole
from cuffwright.mechanics.plain_chains import Load, chains, pulled

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


def tensions(maps: Maps, z: Floats, load: Load) -> Floats:
    """Tension (r, p) N of every part of every tied rope that is still there."""
    path = maps.ropes(z)[2]
    out = np.zeros(path.shape)
    for links, cuts in chains(maps.net, load):
        if not load.pulled[links[0][0]]:
            out[tuple(np.array(links).T)] = pulled(path, load, links, cuts)[1]
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
    for links, cuts in chains(net, load):
        at, r = tuple(np.array(links).T), links[0][0]
        if load.pulled[r]:
            tension[at] = net.tension[r]
            stored += net.tension[r] * path[r].sum()
            continue
        energy, pull, runs = pulled(path, load, links, cuts)
        stored += energy
        tension[at] = np.maximum(pull, 0.0)
        for run in runs:
            if pull[run[-1]] > 0.0:
                here = tuple(np.array([links[i] for i in run]).T)
                slope = parts[here].sum(axis=0)
                H += np.outer(slope, slope) / (1.0 / load.stiff[here]).sum()
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
    eyelet_limits(maps, z, tension, out)
    return out


def eyelet_limits(maps: Maps, z: Floats, tension: Floats, out: Floats) -> None:
    """Write the friction (N) in every eyelet that a suture runs on through behind the last cut of its first rope."""
    net = maps.net
    d = maps.ropes(z)[0]
    for r in np.flatnonzero(net.mate > np.arange(net.mate.size)):
        there, back = d[r, 0], d[net.mate[r], 0]
        along = -there @ back / (np.linalg.norm(there) * np.linalg.norm(back))
        turn = np.arccos(np.clip(along, -1.0, 1.0))
        out[r, net.part[r, net.nodes[r] - 1]] = np.expm1(net.eyelet * turn) * min(
            tension[r, 0], tension[net.mate[r], 0]
        )


def keep_slips(maps: Maps, z: Floats, part: Floats, load: Load) -> None:
    """Take the present slips as lasting in every suture whose parts are all taut."""
    path = maps.ropes(z)[2]
    for links, _ in chains(maps.net, load):
        at = tuple(np.array(links).T)
        if (part[at] > 0.0).all() and (maps.net.rub[at[0]] > 0.0).any() | (maps.net.mate[links[0][0]] >= 0):
            load.rest[at] = path[at] - part[at] / load.stiff[at]
