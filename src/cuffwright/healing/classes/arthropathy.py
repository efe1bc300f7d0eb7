"""Grade of cuff arthropathy from the interval above the head and what an eye sees of the joint."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.deciding import TRUTHS, Domain, Given, around


def _domain(facts: Citing) -> Domain:
    edges = (facts.number("class.arthropathy.narrow"), facts.number("class.arthropathy.normal"))
    return {
        "acromion.acromiohumeral_interval_mm": around(*edges, sum(edges) / 2),
        "judgement.acromion_hollowed": TRUTHS,
        "judgement.joint_arthritis": TRUTHS,
        "judgement.head_collapsed": TRUTHS,
    }


def _decide(given: Given, facts: Citing) -> str:
    interval = float(given["acromion.acromiohumeral_interval_mm"] or 0)
    hollowed = bool(given["judgement.acromion_hollowed"])
    if given["judgement.head_collapsed"]:
        return "grade 5"
    if given["judgement.joint_arthritis"]:
        return "grade 4b" if hollowed else "grade 4a"
    if hollowed:
        return "grade 3"
    if interval >= facts.number("class.arthropathy.normal"):
        return "grade 1"
    return "grade 2" if interval <= facts.number("class.arthropathy.narrow") else "edge 1/2"


def _rule(facts: Citing) -> str:
    normal, narrow = facts.number("class.arthropathy.normal"), facts.number("class.arthropathy.narrow")
    return (
        f"interval of {normal:g} mm or more 1, {narrow:g} mm or less 2, between them the edge 1/2; acromion hollowed"
        " 3; joint worn 4a, with hollowing 4b; head collapsed 5"
    )


RULES = (
    ClassRule(
        "arthropathy",
        "Grade of cuff arthropathy",
        "Is the joint worn?",
        _domain,
        _decide,
        _rule,
        "Sources put the line between 1 and 2 at 5, 6 or 7 mm.",
    ),
)
