"""Bridging repairs of any count: which medial limb runs to which lateral anchor."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Hole, Layout, Stitch, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import medial_row, wall_row
from cuffwright.repair.laying.stitches import mattress

IMPLANTS = ("all-suture-2.5", "push-in-4.5")

Counts = tuple[int, int]
"""Number of medial and of lateral anchors."""


def lateral_ends(counts: Counts) -> list[Counts]:
    """The lateral anchors (from 0, front first) of the front and the back limb of each medial anchor.

    One lateral anchor takes all limbs; two take every front and every back limb; with as many lateral as medial
    anchors each medial one spreads its limbs to its neighbours, so that every lateral anchor takes two.
    """
    medial, lateral = counts
    last = lateral - 1
    if lateral < 3:
        return [(0, last)] * medial
    return [(max(0, place - 1), min(last, place + 1)) for place in range(medial)]


def bridged(
    strip: TendonStrip, bed: Bed, facts: Citing, name: str, counts: Counts = (2, 2), *, knotted: bool
) -> Layout:
    """Medial mattress holes with their limbs bridged to the lateral wall, the mattresses tied when ``knotted``."""
    medial = medial_row(strip, facts, IMPLANTS[0], counts[0])
    lateral = wall_row(strip, bed, facts, IMPLANTS[1], counts[1])
    holes: list[Hole] = []
    stitches: list[Stitch] = []
    for anchor, ends in zip(medial, lateral_ends(counts), strict=True):
        pair, tied = mattress(strip, facts, anchor, anchor.v, counts[0])
        holes += pair
        stitches += [tied] if knotted else []
        stitches += [
            Stitch("bridge", anchor.name, (hole.name,), stage=1, knotted=knotted, to=lateral[end].name)
            for hole, end in zip(pair, ends, strict=True)
        ]
    return Layout(name, (*medial, *lateral), tuple(holes), tuple(stitches))
