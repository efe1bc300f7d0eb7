"""Transosseous repair without anchors: two bone tunnels, four sutures."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.tunnels import tunnelled
from cuffwright.repair.patterns._pattern import Pattern


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two bone tunnels and tie each suture over its own bone bridge."""
    return tunnelled(strip, bed, facts, PATTERN.name, crossed=False)


PATTERN = Pattern("transosseous", "Transosseous, two bone tunnels", (3, 0), lay)
