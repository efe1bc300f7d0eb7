"""Bridging double row 2 + 1, medial knots tied, limbs bridged over the tendon."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import bridged
from cuffwright.repair.patterns._pattern import Pattern

COUNTS = (2, 1)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two medial anchors with tied mattress stitches and bridge their four limbs to one wall anchor."""
    return bridged(strip, bed, facts, PATTERN.name, COUNTS, knotted=True)


PATTERN = Pattern("bridging-2-1-knotted", "Bridging 2 + 1, medial knots", (2, 2, 1, 0), lay)
