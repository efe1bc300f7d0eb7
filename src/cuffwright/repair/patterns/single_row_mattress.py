"""Single row, two anchors, one horizontal mattress stitch each."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import mattress, simple_bite
from cuffwright.repair.patterns._pattern import Pattern

IMPLANT = "threaded-5.0"


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two anchors near the lateral edge of the footprint with one mattress stitch each."""
    anchors = footprint_row(strip, bed, facts, IMPLANT)
    runs = [mattress(strip, facts, anchor, simple_bite(strip, facts)) for anchor in anchors]
    holes = tuple(hole for pair, _ in runs for hole in pair)
    return Layout(PATTERN.name, anchors, holes, tuple(stitch for _, stitch in runs))


PATTERN = Pattern("single-row-mattress", "Single row, mattress stitches", (0, 1), lay)
