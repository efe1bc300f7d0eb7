"""Bridging double row 3 + 3, medial knots tied, limbs bridged over the tendon."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.bridges import bridged
from cuffwright.repair.patterns._pattern import Pattern

COUNTS = (3, 3)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay three medial anchors with tied mattress stitches and bridge their six limbs to three wall anchors."""
    return bridged(strip, bed, facts, PATTERN.name, COUNTS, knotted=True)


PATTERN = Pattern("bridging-3-3-knotted", "Bridging 3 + 3, medial knots", (2, 3, 3, 0), lay)
