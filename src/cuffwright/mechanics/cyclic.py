"""How the gap grows when the same load returns: every hole tears a slot that grows with load and number of cycles.

An empirical law within its class of tests (repeated pulls at the side of the body, hours at most); it says
nothing about healing tissue.
"""

from dataclasses import dataclass

import numpy as np

from cuffwright.case.fact import Citing
from cuffwright.mechanics.curve import at_load
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.pull import FARTHEST, STEP, bearing_force
from cuffwright.mechanics.weave import Woven

COUNTS = (1, 2, 3, 5, 8, 12, 20, 30, 50, 80, 120, 200, 285, 500)
"""Numerical choice: cycles at which the repair is pulled again; between two the hole forces are held."""


@dataclass(frozen=True)
class CyclicLaw:
    """Slot (mm) = ``slot`` (force / capacity) ** ``load_power`` cycles ** ``count_power``."""

    slot: float
    load_power: float
    count_power: float

    @classmethod
    def from_facts(cls, book: Citing) -> "CyclicLaw":
        """Read the law from its rows; raises EvidenceError when one is missing."""
        n = book.number
        return cls(n("cyclic.slot"), n("cyclic.load.power"), n("cyclic.count.power"))

    def growth(self, used: Floats, before: int, after: int) -> Floats:
        """Slot (mm) torn from cycle ``before`` to ``after`` in holes that carry ``used`` of their capacity."""
        slot: Floats = self.slot * used**self.load_power * (after**self.count_power - before**self.count_power)
        return slot


@dataclass(frozen=True)
class Cycled:
    """Gap (mm) at ``load`` newtons after each of ``counts`` cycles; None from the cycle on where it did not hold.

    ``lost`` names the first member that failed, or is None.
    """

    load: float
    counts: tuple[int, ...]
    gaps: tuple[float | None, ...]
    lost: str | None

    def gap(self, count: int) -> float | None:
        """Gap (mm) after ``count`` cycles, interpolated over the power of counts; None when not held or beyond."""
        held = [(n, g) for n, g in zip(self.counts, self.gaps, strict=True) if g is not None]
        if not held or count > held[-1][0]:
            return None
        return float(np.interp(np.log(count), [np.log(n) for n, _ in held], [g for _, g in held]))


def cycle(woven: Woven, law: CyclicLaw, load: float, counts: tuple[int, ...] = COUNTS) -> Cycled:
    """Pull the repair to ``load`` newtons ``counts[-1]`` times, without scatter.

    It stops where a member fails on the way to the load, or a slot reaches the tendon's edge.
    """
    from cuffwright.mechanics.kernels import ramp

    net = woven.net
    holes = len(woven.holes)
    tied, stiff, rest = ramp.tie(net)
    slot = np.zeros_like(net.at)
    start = float("nan")
    gaps: list[float | None] = []
    lost: str | None = None
    for n, count in enumerate(counts):
        curve = ramp.rise(net, tied, stiff, rest, slot, STEP, FARTHEST, load, ramp.EVEN)
        place = curve.place
        edge, way = at_load(curve.force, place, load), at_load(curve.force, curve.slot, load)
        if n == 0:
            start = float(place[0])
        if curve.events.size:
            lost = (woven.holes, woven.limbs, woven.anchors)[curve.events[0, 1]][curve.events[0, 2]]
        if edge is None or way is None or lost is not None:
            break
        gaps.append(float(edge) - start)
        if n + 1 == len(counts):
            break
        used = np.minimum(bearing_force(net, way) / net.tear, 1.0)
        size = np.linalg.norm(way, axis=1)
        toward = way / np.where(size > 0.0, size, 1.0)[:, None]
        slot = slot + toward * law.growth(used, count, counts[n + 1])[:, None]
        torn = np.linalg.norm(slot[:holes], axis=1) > woven.strip.edge - net.at[:holes, 1]
        if torn.any():
            lost = woven.holes[int(np.argmax(torn))]
            break
    return Cycled(load, counts, (*gaps, *[None] * (len(counts) - len(gaps))), lost)
