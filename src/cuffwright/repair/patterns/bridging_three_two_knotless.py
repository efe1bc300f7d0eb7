"""Bridging double row 3 + 2 without medial knots: the limbs slide through their holes."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import bridged
from cuffwright.repair.patterns._pattern import Pattern

COUNTS = (3, 2)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay three medial anchors and bridge their six unknotted limbs to two wall anchors."""
    return bridged(strip, bed, facts, PATTERN.name, COUNTS, knotted=False)


PATTERN = Pattern("bridging-3-2-knotless", "Bridging 3 + 2, no medial knots", (2, 3, 2, 1), lay)
