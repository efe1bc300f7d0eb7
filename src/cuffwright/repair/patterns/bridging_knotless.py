"""Bridging double row 2 + 2 without medial knots: the limbs slide through their holes."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.patterns._pattern import Bed, Pattern, bridged

IMPLANTS = ("all-suture-2.5", "push-in-4.5")


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two medial anchors and bridge their four unknotted limbs to two wall anchors."""
    return bridged(strip, bed, facts, PATTERN.name, IMPLANTS, knotted=False)


PATTERN = Pattern("bridging-knotless", "Bridging 2 + 2, no medial knots", 4, lay)
