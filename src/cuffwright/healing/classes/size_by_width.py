"""Size of the tear by its width front to back, after debridement: small, medium, large, massive."""

from cuffwright.anatomy.tear_size import MM_PER_CM, NAMES, size_class
from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.deciding import Domain, Given, around
from cuffwright.healing.known import Known


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
