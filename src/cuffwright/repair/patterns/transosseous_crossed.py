"""Transosseous repair without anchors: two bone tunnels, four sutures, crossed over the tendon."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.tunnels import tunnelled
from cuffwright.repair.patterns._pattern import Pattern


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two bone tunnels and cross their sutures over the tendon."""
    return tunnelled(strip, bed, facts, PATTERN.name, crossed=True)


PATTERN = Pattern("transosseous-crossed", "Transosseous, two bone tunnels, crossed", (3, 1), lay)
