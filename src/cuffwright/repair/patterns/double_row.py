"""Double row, unlinked: a medial row of mattress stitches and a lateral row of simple stitches."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row, medial_row
from cuffwright.repair.laying.stitches import mattress, simple_bite, simples
from cuffwright.repair.patterns._pattern import Pattern

MEDIAL_IMPLANT = "all-suture-2.5"
LATERAL_IMPLANT = "threaded-5.0"


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two medial anchors with a mattress stitch each and two lateral ones with two simple stitches each."""
    medial = medial_row(strip, facts, MEDIAL_IMPLANT)
    lateral = footprint_row(strip, bed, facts, LATERAL_IMPLANT, prefix="L")
    inner = [mattress(strip, facts, anchor, anchor.v) for anchor in medial]
    outer = [simples(strip, facts, anchor, simple_bite(strip, facts)) for anchor in lateral]
    holes = [hole for pair, _ in (*inner, *outer) for hole in pair]
    stitches = [stitch for _, stitch in inner] + [stitch for _, tied in outer for stitch in tied]
    return Layout(PATTERN.name, (*medial, *lateral), tuple(holes), tuple(stitches))


PATTERN = Pattern("double-row", "Double row, unlinked", (1, 0), lay)
