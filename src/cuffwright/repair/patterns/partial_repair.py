"""Partial repair of a massive tear: its back part is brought to bone, the rest stays open."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, RepairedPart, TendonStrip
from cuffwright.repair.fitting import full_thickness
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.reduced import on_part
from cuffwright.repair.patterns._pattern import Pattern
from cuffwright.repair.torn import tear_of


def suits(strip: TendonStrip, facts: Citing) -> str | None:
    """Why this tear is not repaired in part; None when it is massive and contracted."""
    tear = tear_of(strip)
    if tear is None or tear.shape is None:
        return "it leaves part of a massive tear open and needs to know the tear: set tear.shape"
    if tear.shape != "massive contracted":
        return f"the tear is called {tear.shape}; only a massive contracted tear is repaired in part"
    return full_thickness(strip, facts)


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two double-loaded anchors on the back part of the tear and leave its front open."""
    width = strip.width * facts.number("pattern.partial.share")
    part = RepairedPart(strip.front + strip.width - width, width, strip.edge)
    return on_part(strip, bed, facts, PATTERN.name, part)


PATTERN = Pattern("partial-repair", "Partial repair of a massive tear, back part", (4, 3), lay, suits)
