"""Size of a tear by its width front to back: small, medium, large, massive; the classes that care and odds share."""

from cuffwright.case.fact import Citing

MM_PER_CM = 10.0
"""Numerical choice: millimetres of a centimetre."""

NAMES = ("medium", "large", "massive")


def cm(mm: float) -> float:
    """Millimetres as centimetres, in which the published rules are written."""
    return mm / MM_PER_CM


def size_class(width_mm: float, facts: Citing) -> str:
    """The class of a width (mm); intervals are closed below and open above."""
    found = "small"
    for name in NAMES:
        if cm(width_mm) >= facts.number(f"class.size.{name}"):
            found = name
    return found
