"""Size of the tear by its width front to back, after debridement: small, medium, large, massive."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule, Domain
from cuffwright.healing.deciding import Given, around
from cuffwright.healing.known import MM_PER_CM, Known, cm

NAMES = ("medium", "large", "massive")


def size_class(width_mm: float, facts: Citing) -> str:
    """The class of a width (mm); intervals are closed below and open above."""
    found = "small"
    for name in NAMES:
        if cm(width_mm) >= facts.number(f"class.size.{name}"):
            found = name
    return found


def size_domain(facts: Citing) -> Domain:
    """Widths (mm) that stand for all others."""
    return {"tear.width_mm": around(*(facts.number(f"class.size.{name}") * MM_PER_CM for name in NAMES))}


def _decide(given: Given, facts: Citing) -> str:
    return size_class(float(given["tear.width_mm"] or 0), facts)


def _rule(facts: Citing) -> str:
    small, medium, large = (facts.number(f"class.size.{name}") for name in NAMES)
    return f"width below {small:g} cm small, below {medium:g} medium, below {large:g} large, else massive"


def full(known: Known) -> bool:
    """Whether the tear goes through the whole tendon."""
    return known.yes("tear.full_thickness")


RULES = (
    ClassRule(
        "size-by-width",
        "Size by width",
        "How large is the tear?",
        size_domain,
        _decide,
        _rule,
        "Measure again after debridement; published edges overlap, these are half-open.",
        full,
    ),
)
