"""A single row of two double-loaded anchors on the part of the tendon that a repair takes."""

from dataclasses import replace

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, RepairedPart, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import gathered, simple_bite, simples

IMPLANT = "threaded-5.0"


def on_part(strip: TendonStrip, bed: Bed, facts: Citing, name: str, part: RepairedPart) -> Layout:
    """Lay the row on ``part``; where its edge stays medial to the whole strip's, the anchors do too."""
    taken = TendonStrip(part.front, part.width, part.edge, strip.thickness)
    short = strip.edge - part.edge
    anchors = tuple(replace(a, v=a.v - short) for a in footprint_row(taken, bed, facts, IMPLANT))
    bite = simple_bite(taken, facts)
    whole = gathered(name, anchors, [simples(taken, facts, anchor, bite) for anchor in anchors])
    return replace(whole, part=part)
