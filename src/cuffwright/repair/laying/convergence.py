"""Margin convergence: a cleft closed side to side from its apex, then the free margin brought to bone."""

from collections.abc import Callable

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Hole, Layout, Stitch, TendonStrip
from cuffwright.mechanics.sheet import REACH
from cuffwright.repair.fitting import Suits, full_thickness
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import FRONT_BACK, gathered, half_spread, simple_bite, simples
from cuffwright.repair.torn import tear_of

IMPLANT = "threaded-5.0"

CLEARANCE = 1.0
"""Numerical choice: side-to-side stitches keep this far lateral of the most medial place the sheet answers for, mm."""


def cleft_suits(shapes: tuple[str, ...], also: Suits) -> Suits:
    """The reason why a cleft of a tear is not closed: another shape, unknown retraction, too shallow, or ``also``."""

    def suits(strip: TendonStrip, facts: Citing) -> str | None:
        tear = tear_of(strip)
        wanted = " or ".join(shapes)
        if tear is None or tear.shape is None:
            return f"it closes the cleft of a tear of shape {wanted} and needs to know the shape: set tear.shape"
        if tear.shape not in shapes:
            return f"the tear is called {tear.shape}; it closes the cleft of a tear of shape {wanted}"
        if tear.retraction_mm is None:
            return "the depth of the cleft is not known; it needs tear.retraction_mm"
        if not stitch_places(strip, facts):
            return f"the tear is retracted {tear.retraction_mm.value:g} mm, too little for one side-to-side stitch"
        return full_thickness(strip, facts) or also(strip, facts)

    return suits


def stitch_places(strip: TendonStrip, facts: Citing) -> list[float]:
    """Chart ``v`` (mm) of the side-to-side stitches, from lateral: between the stitches to bone and the apex."""
    tear = tear_of(strip)
    deep = 0.0 if tear is None or tear.retraction_mm is None else tear.retraction_mm.value
    pitch = facts.number("pattern.side.pitch")
    apex = max(strip.edge - deep, REACH + CLEARANCE)
    first = simple_bite(strip, facts) - pitch
    count = int((first - apex) // pitch) + 1 if first >= apex else 0
    return [first - n * pitch for n in range(count)]


def converged(
    strip: TendonStrip, bed: Bed, facts: Citing, name: str, cleft: Callable[[tuple[float, ...]], float]
) -> Layout:
    """Close the cleft side to side and lay a single row of two double-loaded anchors under the free margin.

    ``cleft`` chooses the chart u of the closed cleft from the u of the anchors.
    """
    anchors = footprint_row(strip, bed, facts, IMPLANT)
    bite = simple_bite(strip, facts)
    runs = [simples(strip, facts, anchor, bite) for anchor in anchors]
    middle = cleft(tuple(anchor.u for anchor in anchors))
    half = half_spread(strip, facts, "pattern.side.half-spread")
    sides = [_across(n, middle, half, v) for n, v in enumerate(stitch_places(strip, facts), 1)]
    return gathered(name, anchors, [*runs, *sides])


def _across(number: int, u: float, half: float, v: float) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    front, back = (Hole(f"S{number}a{'FB'[side > 0]}", u + side * half, v) for side in FRONT_BACK)
    return (front, back), (Stitch("side-to-side", "", (front.name, back.name), stage=0),)
