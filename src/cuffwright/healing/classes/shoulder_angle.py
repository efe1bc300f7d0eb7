"""Is the critical shoulder angle high? Two lines are in use."""

from functools import partial

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.deciding import Domain, Given, around

PATH = "acromion.critical_shoulder_angle_degrees"


def _domain(facts: Citing, key: str) -> Domain:
    return {PATH: around(facts.number(key))}


def _decide(given: Given, facts: Citing, key: str, from_it: bool) -> str:
    angle, edge = float(given[PATH] or 0), facts.number(key)
    return "high" if angle > edge or (from_it and angle == edge) else "not high"


def _rule(facts: Citing, key: str, from_it: bool) -> str:
    odds = facts.fact("class.angle.odds")
    reach = "or more" if from_it else "exceeded"
    return (
        f"{facts.number(key):g} degrees {reach}; odds of retear with a high angle {odds.value:g}"
        f" ({odds.low:g} to {odds.high:g}), three studies, not randomised"
    )


RULES = tuple(
    ClassRule(
        name,
        title,
        "Is the critical shoulder angle high?",
        partial(_domain, key=key),
        partial(_decide, key=key, from_it=from_it),
        partial(_rule, key=key, from_it=from_it),
        "The type of the acromion by eye is read differently by different readers: never a reason by itself.",
    )
    for name, title, key, from_it in (
        ("angle-lower-line", "By the lower line", "class.angle.35", True),
        ("angle-upper-line", "By the upper line", "class.angle.38", False),
    )
)
