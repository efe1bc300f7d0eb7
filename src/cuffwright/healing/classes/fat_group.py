"""Groups of fatty infiltration from the grade of each muscle; the grade itself is read by eye and kept."""

from functools import partial

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.deciding import Domain, Given
from cuffwright.healing.known import Value

GRADES: tuple[Value, ...] = (0, 1, 2, 3, 4)
MUSCLES = ("supraspinatus", "infraspinatus", "subscapularis")


def _domain(_facts: Citing, path: str) -> Domain:
    return {path: GRADES}


def _decide(given: Given, facts: Citing, path: str) -> str:
    grade, middle = float(given[path] or 0), facts.number("class.fat.moderate")
    return "normal" if grade < middle else "moderate" if grade == middle else "advanced"


def _rule(facts: Citing) -> str:
    middle = facts.number("class.fat.moderate")
    return f"grade below {middle:g} normal, {middle:g} moderate, above advanced"


RULES = tuple(
    ClassRule(
        f"fat-{muscle}",
        f"Fat of {muscle}",
        "How much fat is in the muscle?",
        partial(_domain, path=f"muscle.{muscle}_fat"),
        partial(_decide, path=f"muscle.{muscle}_fat"),
        _rule,
        "Read by eye; CT and MR agree only moderately. A measured fat share is not turned into a grade.",
    )
    for muscle in MUSCLES
)
