"""Bridging double row 2 + 2 without medial knots: the limbs slide through their holes."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import bridged
from cuffwright.repair.patterns._pattern import Pattern

COUNTS = (2, 2)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two medial anchors and bridge their four unknotted limbs to two wall anchors."""
    return bridged(strip, bed, facts, PATTERN.name, COUNTS, knotted=False)


PATTERN = Pattern("bridging-knotless", "Bridging 2 + 2, no medial knots", (2, 2, 2, 1), lay)
