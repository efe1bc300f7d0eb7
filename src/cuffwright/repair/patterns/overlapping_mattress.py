"""Bridging double row with overlapping medial mattress stitches: two sutures a medial anchor, eight limbs."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import IMPLANTS
from cuffwright.repair.laying.rows import medial_row, wall_row
from cuffwright.repair.laying.stitches import gathered, half_spread
from cuffwright.repair.patterns._pattern import Pattern

LIMBS = (("aF", -3), ("bF", -1), ("aB", 1), ("bB", 3))
"""Limbs of one anchor from the front, each with its place in thirds of the half spread; a and b overlap."""

THIRDS = 3


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two double-loaded medial anchors, tie their overlapping mattress stitches, bridge all eight limbs."""
    medial = medial_row(strip, facts, IMPLANTS[0])
    lateral = wall_row(strip, bed, facts, IMPLANTS[1])
    ends = (lateral[0].name, lateral[-1].name)
    return gathered(PATTERN.name, (*medial, *lateral), [overlapped(strip, facts, one, ends) for one in medial])


def overlapped(
    strip: TendonStrip, facts: Citing, anchor: Anchor, ends: tuple[str, str]
) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    """Four holes of ``anchor``, two mattress stitches that overlap, and a limb of each knot to each of ``ends``."""
    half = half_spread(strip, facts, "pattern.overlap.half-spread", limit="pattern.overlap.limit")
    holes = {limb: Hole(f"{anchor.name}{limb}", anchor.u + side * half / THIRDS, anchor.v) for limb, side in LIMBS}
    tied, bridges = [], []
    for suture in ("a", "b"):
        front, back = holes[f"{suture}F"].name, holes[f"{suture}B"].name
        tied.append(Stitch("mattress", anchor.name, (front, back), stage=0))
        for limb, end in zip((front, back), ends, strict=True):
            bridges.append(Stitch("bridge", anchor.name, (limb,), stage=1, to=end))
    return tuple(holes.values()), (*tied, *bridges)


PATTERN = Pattern("overlapping-mattress", "Bridging 2 + 2, overlapping mattress stitches", (2, 4), lay)
