"""Bridging double row 2 + 1 without medial knots: the limbs slide through their holes."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import bridged
from cuffwright.repair.patterns._pattern import Pattern

COUNTS = (2, 1)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two medial anchors and bridge their four unknotted limbs to one wall anchor."""
    return bridged(strip, bed, facts, PATTERN.name, COUNTS, knotted=False)


PATTERN = Pattern("bridging-2-1-knotless", "Bridging 2 + 1, no medial knots", (2, 2, 1, 1), lay)
