"""Single row, modified Mason-Allen: a mattress stitch and a simple stitch laid across it, medially."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import footprint_row
from cuffwright.repair.laying.stitches import gathered, mattress, simple_bite
from cuffwright.repair.patterns._pattern import Pattern

IMPLANT = "threaded-5.0"


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Lay two double-loaded anchors near the lateral edge: suture a as a mattress, suture b as a loop across it."""
    anchors = footprint_row(strip, bed, facts, IMPLANT)
    return gathered(PATTERN.name, anchors, [locked(strip, facts, anchor) for anchor in anchors])


def locked(strip: TendonStrip, facts: Citing, anchor: Anchor) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    """The mattress of ``anchor`` and the simple stitch that crosses it, with their holes."""
    bite = simple_bite(strip, facts)
    pair, tied = mattress(strip, facts, anchor, bite)
    across = Hole(f"{anchor.name}bF", anchor.u, bite - facts.number("pattern.mason-allen.step"))
    return (*pair, across), (tied, Stitch("simple", anchor.name, (across.name,), stage=0))


PATTERN = Pattern("single-row-mason-allen", "Single row, modified Mason-Allen stitches", (0, 2), lay)
