"""Partial tears: grade by depth, and whether more than half of the tendon is torn."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.deciding import TRUTHS, Domain, Given, around
from cuffwright.healing.known import Known


def depth_grade(depth_mm: float, facts: Citing) -> str:
    """Grade 1, 2 or 3 of a partial tear by its depth (mm)."""
    if depth_mm < facts.number("class.depth.2"):
        return "grade 1"
    return "grade 2" if depth_mm <= facts.number("class.depth.3") else "grade 3"


def _depths(facts: Citing) -> Domain:
    return {"tear.partial_depth_mm": around(facts.number("class.depth.2"), facts.number("class.depth.3"))}


def _by_depth(given: Given, facts: Citing) -> str:
    return depth_grade(float(given["tear.partial_depth_mm"] or 0), facts)


def _shares(_facts: Citing) -> Domain:
    return {"tear.partial_depth_mm": around(), "tear.thickness_mm": TRUTHS}


def _by_share(given: Given, facts: Citing) -> str:
    depth, whole = float(given["tear.partial_depth_mm"] or 0), given["tear.thickness_mm"]
    deep = whole if isinstance(whole, bool) else depth >= facts.number("class.depth.half") * float(whole or 0)
    return "half or more" if deep else "less than half"


def _partial(known: Known) -> bool:
    return not known.yes("tear.full_thickness")


def _words_depth(facts: Citing) -> str:
    second, third = facts.number("class.depth.2"), facts.number("class.depth.3")
    return f"below {second:g} mm grade 1, {second:g} to {third:g} mm grade 2, deeper grade 3"


def _words_share(facts: Citing) -> str:
    return f"depth against the local thickness, line at {facts.number('class.depth.half'):.0%}"


QUESTION = "How deep is the partial tear?"
RULES = (
    ClassRule("depth-grade", "Grade by depth", QUESTION, _depths, _by_depth, _words_depth, "", _partial),
    ClassRule(
        "depth-share",
        "Share of the thickness",
        QUESTION,
        _shares,
        _by_share,
        _words_share,
        "Half the thickness is a convention for repair, no proven threshold.",
        _partial,
    ),
)
