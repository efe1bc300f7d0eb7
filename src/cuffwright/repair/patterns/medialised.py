"""Medialised insertion: the tendon is brought short of its footprint, with a single row at its new edge."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, RepairedPart, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.reduced import on_part
from cuffwright.repair.patterns._pattern import Pattern


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two double-loaded anchors at a tendon edge left medial to the footprint's lateral edge."""
    edge = strip.edge - facts.number("pattern.medialised.shift")
    return on_part(strip, bed, facts, PATTERN.name, RepairedPart(strip.front, strip.width, edge))


PATTERN = Pattern("medialised", "Medialised insertion, single row", (4, 2), lay)
