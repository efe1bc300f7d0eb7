"""How much of its fossa the supraspinatus fills, and the cut-off of one series that goes with retear."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.fat_group import GRADES
from cuffwright.healing.deciding import Domain, Given, around

QUESTION = "How wasted is the supraspinatus?"


def occupation_class(ratio: float, facts: Citing) -> str:
    """Mild, moderate or severe wasting by the occupation ratio (a share)."""
    if ratio >= facts.number("class.occupation.mild"):
        return "mild"
    return "moderate" if ratio >= facts.number("class.occupation.severe") else "severe"


def _ratios(facts: Citing) -> Domain:
    edges = (facts.number("class.occupation.mild"), facts.number("class.occupation.severe"))
    return {"muscle.occupation_ratio": around(*edges)}


def _by_ratio(given: Given, facts: Citing) -> str:
    return occupation_class(float(given["muscle.occupation_ratio"] or 0), facts)


def _both(facts: Citing) -> Domain:
    ratio = facts.number("class.occupation.retear")
    return {"muscle.occupation_ratio": around(ratio), "muscle.infraspinatus_fat": GRADES}


def _cut(given: Given, facts: Citing) -> str:
    low = float(given["muscle.occupation_ratio"] or 0) < facts.number("class.occupation.retear")
    fat = float(given["muscle.infraspinatus_fat"] or 0) >= facts.number("class.occupation.infraspinatus")
    return "beyond the cut-off" if low and fat else "not beyond the cut-off"


def _words_ratio(facts: Citing) -> str:
    mild, severe = facts.number("class.occupation.mild"), facts.number("class.occupation.severe")
    return f"{mild:.0%} or more mild, below {severe:.0%} severe, between them moderate"


def _words_cut(facts: Citing) -> str:
    ratio, grade = facts.number("class.occupation.retear"), facts.number("class.occupation.infraspinatus")
    return f"ratio below {ratio:.0%} together with infraspinatus fat of grade {grade:g} or more"


RULES = (
    ClassRule(
        "occupation-ratio",
        "Occupation ratio",
        QUESTION,
        _ratios,
        _by_ratio,
        _words_ratio,
        "When the tendon is retracted the Y view shows less muscle than there is.",
    ),
    ClassRule(
        "occupation-cut-off",
        "Cut-off of one series",
        QUESTION,
        _both,
        _cut,
        _words_cut,
        "112 large tears, one series; not validated elsewhere in what was read.",
    ),
)
