"""Margin convergence of an L-shaped or reverse L tear: its longitudinal limb is closed, then a single row."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.convergence import cleft_suits, converged
from cuffwright.repair.patterns._pattern import Pattern
from cuffwright.repair.torn import tear_of


def sided(strip: TendonStrip, _facts: Citing) -> str | None:
    """Why the limb of the L cannot be placed; None when its side is known."""
    tear = tear_of(strip)
    if tear is None or tear.limb_side is None:
        return "the side of the longitudinal limb is not known; it needs tear.limb_side"
    return None


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Close the limb of the L side to side, over the anchor on its side, and lay a single row."""
    tear = tear_of(strip)
    behind = tear is not None and tear.limb_side == "posterior"
    return converged(strip, bed, facts, PATTERN.name, lambda anchors: anchors[-1] if behind else anchors[0])


PATTERN = Pattern(
    "margin-convergence-l",
    "L tear: margin convergence, single row",
    (4, 1),
    lay,
    cleft_suits(("L", "reverse L"), sided),
)
