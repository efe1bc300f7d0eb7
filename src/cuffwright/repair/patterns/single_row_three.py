"""Single row of three double-loaded anchors, six simple stitches."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import gathered, simple_bite, simples
from cuffwright.repair.patterns._pattern import Pattern

IMPLANT = "threaded-5.0"

COUNT = 3


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay three anchors near the lateral edge of the footprint with two simple stitches each."""
    anchors = footprint_row(strip, bed, facts, IMPLANT, count=COUNT)
    bite = simple_bite(strip, facts)
    return gathered(PATTERN.name, anchors, [simples(strip, facts, anchor, bite, COUNT) for anchor in anchors])


PATTERN = Pattern("single-row-3", "Single row, three anchors, simple stitches", (0, 4), lay)
