"""Margin convergence of a U-shaped tear: the cleft is closed in the middle, then a single row."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.fitting import full_thickness
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.convergence import cleft_suits, converged
from cuffwright.repair.patterns._pattern import Pattern


def middle(anchors: tuple[float, ...]) -> float:
    """The cleft closes midway between the front and the back anchor."""
    return (anchors[0] + anchors[-1]) / 2


def lay(strip: TendonStrip, bed: Bed, facts: Citing) -> Layout:
    """Close the cleft of the U side to side and lay a single row of two double-loaded anchors."""
    return converged(strip, bed, facts, PATTERN.name, middle)


PATTERN = Pattern(
    "margin-convergence-u", "U tear: margin convergence, single row", (4, 0), lay, cleft_suits(("U",), full_thickness)
)
