"""Bridging double row 2 + 2, medial knots tied, limbs bridged over the tendon."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.patterns._pattern import Bed, Pattern, bridged

IMPLANTS = ("all-suture-2.5", "push-in-4.5")


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two medial anchors with tied mattress stitches and bridge their four limbs to two wall anchors."""
    return bridged(strip, bed, facts, PATTERN.name, IMPLANTS, knotted=True)


PATTERN = Pattern("bridging-knotted", "Bridging 2 + 2, medial knots", 3, lay)
