"""Single row, two triple-loaded anchors, six simple stitches."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import gathered, half_spread, simple_bite
from cuffwright.repair.patterns._pattern import Pattern

IMPLANT = "threaded-5.0"

LIMBS = (("aF", -1), ("bF", 0), ("cB", 1))


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two anchors near the lateral edge of the footprint with three simple stitches each."""
    anchors = footprint_row(strip, bed, facts, IMPLANT)
    return gathered(PATTERN.name, anchors, [fan(strip, facts, anchor) for anchor in anchors])


def fan(strip: TendonStrip, facts: Citing, anchor: Anchor) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    """Three simple stitches from ``anchor``: suture a in front, b straight, c behind."""
    half = half_spread(strip, facts, "pattern.triple.half-spread", limit="pattern.triple.limit")
    bite = simple_bite(strip, facts)
    holes = tuple(Hole(f"{anchor.name}{limb}", anchor.u + side * half, bite) for limb, side in LIMBS)
    return holes, tuple(Stitch("simple", anchor.name, (hole.name,), stage=0) for hole in holes)


PATTERN = Pattern("single-row-triple", "Single row, triple-loaded anchors", (0, 3), lay)
