"""A high-grade partial tear completed to full thickness, then repaired with a single row."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.fitting import too_shallow
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import gathered, simple_bite, simples
from cuffwright.repair.patterns._pattern import Pattern
from cuffwright.repair.torn import tear_of

IMPLANT = "threaded-5.0"


def suits(strip: TendonStrip, facts: Citing) -> str | None:
    """Why this tear is not completed; None when it is partial and deep enough."""
    tear = tear_of(strip)
    if tear is None or tear.full_thickness:
        return "only a tear of partial thickness is completed"
    reason = too_shallow(tear, facts)
    return f"the tear is of partial thickness and {reason}" if reason else None


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two double-loaded anchors near the lateral edge of the footprint under the completed tear."""
    anchors = footprint_row(strip, bed, facts, IMPLANT)
    bite = simple_bite(strip, facts)
    return gathered(PATTERN.name, anchors, [simples(strip, facts, anchor, bite) for anchor in anchors])


PATTERN = Pattern("completed-partial", "Partial tear completed, single row", (4, 4), lay, suits)
