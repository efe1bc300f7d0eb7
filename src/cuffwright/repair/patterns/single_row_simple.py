"""Single row, two double-loaded anchors, four simple stitches."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import simple_bite, simples
from cuffwright.repair.patterns._pattern import Pattern

IMPLANT = "threaded-5.0"


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two anchors near the lateral edge of the footprint with two simple stitches each."""
    anchors = footprint_row(strip, bed, facts, IMPLANT)
    runs = [simples(strip, facts, anchor, simple_bite(strip, facts)) for anchor in anchors]
    holes = tuple(hole for pair, _ in runs for hole in pair)
    return Layout(PATTERN.name, anchors, holes, tuple(stitch for _, tied in runs for stitch in tied))


PATTERN = Pattern("single-row-simple", "Single row, simple stitches", (0, 0), lay)
