"""Bridging double row 3 + 3 without medial knots: the limbs slide through their holes."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import bridged
from cuffwright.repair.patterns._pattern import Pattern

COUNTS = (3, 3)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay three medial anchors and bridge their six unknotted limbs to three wall anchors."""
    return bridged(strip, bed, facts, PATTERN.name, COUNTS, knotted=False)


PATTERN = Pattern("bridging-3-3-knotless", "Bridging 3 + 3, no medial knots", (2, 3, 3, 1), lay)
