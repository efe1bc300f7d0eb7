"""Sutures of the plain twin as chains of parts, their slips found by trying every combination."""

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.net import Floats, Net, Whole


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


@cache
def ways(count: int) -> tuple[Floats, Floats]:
    """Every way (w, count - 1) in which the cuts of ``count`` parts stick (0) or slide (1, -1), and its runs (w, p, p).

    A run is a stretch of parts that slide into one another; entry (w, i, j) is 1 where parts i and j share one.
    """
    all_ways = np.array(list(product((0, 1, -1), repeat=count - 1)), float).reshape(3 ** (count - 1), count - 1)
    number = np.concatenate((np.zeros((len(all_ways), 1)), np.cumsum(all_ways == 0, axis=1)), axis=1)
    return all_ways, (number[:, :, None] == number[:, None, :]) * 1.0


def slide(long: Floats, stiff: Floats, rest: Floats, limit: Floats) -> tuple[float, Floats, list[list[int]]]:
    """Energy, tension of every part and the runs of parts that slide into one another, of one tied suture.

    Every way in which the cuts can stick or slide is tried; the one of least energy among those whose sticking cuts
    stay within their limit and whose sliding ones slide the right way is the state.
    """
    count = long.size
    all_ways, same = ways(count)
    cuts = limit[: count - 1]
    steps = np.concatenate((np.zeros((len(all_ways), 1)), -np.cumsum(all_ways * cuts, axis=1)), axis=1)
    spare = same @ (long - rest) - np.einsum("wij,wj->wi", same, steps / stiff)
    pull = spare / (same @ (1.0 / stiff)) + steps
    flow = np.cumsum(long - pull / stiff - rest, axis=1)[:, :-1]
    stray = np.where(all_ways == 0, np.abs(np.diff(pull, axis=1)) - cuts, -all_ways * flow)
    worst = np.maximum(stray, 0.0).max(axis=1, initial=0.0)
    energy = 0.5 * (np.maximum(pull, 0.0) ** 2 / stiff).sum(axis=1) + np.abs(flow) @ cuts
    best = int(np.lexsort((energy, worst))[0])
    runs: list[list[int]] = [[0]]
    for c, way in enumerate(all_ways[best]):
        runs = [*runs[:-1], [*runs[-1], c + 1]] if way else [*runs, [c + 1]]
    return float(energy[best]), pull[best], runs


Links = list[tuple[int, int]]
"""Rope and part of every place in one suture's chain."""


def chains(net: Net, load: Load) -> list[tuple[Links, Whole]]:
    """Every live suture as its chain of parts, and for each cut between them where its friction stands (rope, part).

    A suture that runs on through an eyelet goes from the far end of one rope to that of its mate.
    """
    found: list[tuple[Links, Whole]] = []
    for r in np.flatnonzero(load.live):
        own, mate = int(net.part[r, net.nodes[r] - 1]) + 1, int(net.mate[r])
        links = [(int(r), i) for i in range(own)]
        if mate >= 0 and load.live[mate] and not (load.pulled[r] or load.pulled[mate]):
            if mate < r:
                continue
            other = int(net.part[mate, net.nodes[mate] - 1]) + 1
            cuts = [(r, own - 2 - i) for i in range(own - 1)] + [(r, own - 1)] + [(mate, i) for i in range(other - 1)]
            found.append((links[::-1] + [(mate, i) for i in range(other)], np.array(cuts, np.int64).reshape(-1, 2)))
        else:
            found.append((links, np.array(links[:-1], np.int64).reshape(-1, 2)))
    return found


def pulled(path: Floats, load: Load, links: Links, cuts: Whole) -> tuple[float, Floats, list[list[int]]]:
    """:func:`slide` for one chain, its parts ``path`` (r, p) mm long."""
    at = tuple(np.array(links).T)
    return slide(path[at], load.stiff[at], load.rest[at], load.limit[cuts[:, 0], cuts[:, 1]])
