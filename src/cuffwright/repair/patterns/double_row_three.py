"""Double row 3 + 3, unlinked: three medial mattress stitches and a lateral row of six simple stitches."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row, medial_row
from cuffwright.repair.laying.stitches import gathered, mattress, simple_bite, simples
from cuffwright.repair.patterns._pattern import Pattern

MEDIAL_IMPLANT = "all-suture-2.5"
LATERAL_IMPLANT = "threaded-5.0"

COUNT = 3


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay three medial anchors with a mattress stitch each and three lateral ones with two simple stitches each."""
    medial = medial_row(strip, facts, MEDIAL_IMPLANT, COUNT)
    lateral = footprint_row(strip, bed, facts, LATERAL_IMPLANT, prefix="L", count=COUNT)
    bite = simple_bite(strip, facts)
    inner = [(pair, (tied,)) for pair, tied in (mattress(strip, facts, a, a.v, COUNT) for a in medial)]
    outer = [simples(strip, facts, anchor, bite, COUNT) for anchor in lateral]
    return gathered(PATTERN.name, (*medial, *lateral), [*inner, *outer])


PATTERN = Pattern("double-row-3", "Double row 3 + 3, unlinked", (1, 1), lay)
