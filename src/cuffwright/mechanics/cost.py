"""What an evaluation costs against the number of sites: repairs of growing size, timed by the caller's clock."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.scatter import Spread, draw
from cuffwright.mechanics.weave import weave

PITCH = 10.0
"""Numerical choice: distance of medial anchors of the timed repairs, mm; the strip grows with their number."""

EDGE = 12.0
"""Numerical choice: tendon edge of the timed repairs, mm."""

THICK = 5.0
"""Numerical choice: tendon thickness of the timed repairs, mm."""

BEYOND = 8.5
"""Numerical choice: wall anchors of the timed repairs, mm past the edge."""

APART = 2.5
"""Numerical choice: mattress holes of the timed repairs, mm to either side of their anchor."""

MEDIAL = 1.0
"""Numerical choice: medial row of the timed repairs, mm from the margin."""

THOUSAND = 1000
"""Numerical choice: draws the cost is stated for."""

DRAWS = 40
"""Numerical choice: draws timed."""

LOAD = 100.0
"""Numerical choice: load at which the timed draws read the gap, N."""


@dataclass(frozen=True)
class Cost:
    """Seconds for one repair of ``sites`` and ``ropes``: a ramp, and ``draws`` draws on one core."""

    sites: int
    ropes: int
    ramp: float
    draws: int
    drawing: float

    @property
    def thousand_on_two(self) -> float:
        """Seconds for 1,000 draws on two cores, if both are free."""
        return self.drawing / self.draws * THOUSAND / 2


def bridged(anchors: int, *, knotted: bool = True) -> tuple[Layout, TendonStrip]:
    """A bridging repair of so many medial anchors, each with a mattress and two limbs, and its strip.

    Not ``knotted``, the limbs slide through their holes with friction.
    """
    medial: list[Anchor] = []
    wall: list[Anchor] = []
    holes: list[Hole] = []
    stitches: list[Stitch] = []
    for n in range(anchors):
        u = (n + 0.5) * PITCH
        medial.append(Anchor(f"{n + 1}", "medial", u, MEDIAL, 0.0, "all-suture-2.5"))
        wall.append(Anchor(f"L{n + 1}", "lateral", u, EDGE + BEYOND, 0.0, "push-in-4.5"))
        pair = (Hole(f"{n + 1}aF", u - APART, MEDIAL), Hole(f"{n + 1}aB", u + APART, MEDIAL))
        holes += pair
        stitches.append(Stitch("mattress", f"{n + 1}", (pair[0].name, pair[1].name), 0))
        for hole, to in zip(pair, (max(1, n), min(anchors, n + 2)), strict=True):
            stitches.append(Stitch("bridge", f"{n + 1}", (hole.name,), 1, knotted, f"L{to}"))
    strip = TendonStrip(0.0, anchors * PITCH, EDGE, THICK)
    return Layout("timed", (*medial, *wall), tuple(holes), tuple(stitches)), strip


def costs(
    parameters: Parameters,
    spread: Spread,
    clock: Callable[[], float],
    anchors: Sequence[int] = (2, 3, 4),
    draws: int = DRAWS,
    *,
    knotted: bool = True,
) -> Iterator[Cost]:
    """Time a ramp and draws of bridging repairs of growing size; ``clock`` gives seconds (best: of this process)."""
    for count in anchors:
        layout, strip = bridged(count, knotted=knotted)
        woven = weave(layout, strip, parameters)
        pull(woven)
        draw(woven, spread, seed=1, chunk=0, load=LOAD, size=1)
        start = clock()
        pull(woven)
        middle = clock()
        draw(woven, spread, seed=1, chunk=0, load=LOAD, size=draws)
        yield Cost(woven.net.kind.size, len(woven.limbs), middle - start, draws, clock() - middle)
