"""Size of a full-thickness tear by the rival edges of 2 and 4 cm."""

from cuffwright.anatomy.tear_size import MM_PER_CM, cm
from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.size_by_width import full
from cuffwright.healing.deciding import Domain, Given, around


def _edges(facts: Citing) -> tuple[float, float]:
    return facts.number("class.twofour.2"), facts.number("class.twofour.3")


def _domain(facts: Citing) -> Domain:
    return {"tear.width_mm": around(*(edge * MM_PER_CM for edge in _edges(facts)))}


def _decide(given: Given, facts: Citing) -> str:
    width, (second, third) = cm(float(given["tear.width_mm"] or 0)), _edges(facts)
    return "grade 1, small" if width < second else "grade 2, large" if width <= third else "grade 3, massive"


def _rule(facts: Citing) -> str:
    second, third = _edges(facts)
    return f"below {second:g} cm grade 1, {second:g} to {third:g} cm grade 2, above grade 3"


RULES = (
    ClassRule(
        "size-two-four",
        "Size by the edges of 2 and 4 cm",
        "How large is the tear?",
        _domain,
        _decide,
        _rule,
        "Other edges than the other size classes: name the system in the record.",
        full,
    ),
)
