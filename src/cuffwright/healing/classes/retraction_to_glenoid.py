"""Whether the measured retraction reaches the glenoid rim: the one edge of the stages that is a length."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.size_by_width import full
from cuffwright.healing.deciding import Domain, Given, around


def _domain(_facts: Citing) -> Domain:
    return {"tear.retraction_mm": around(), "judgement.glenoid_rim_mm": around()}


def _decide(given: Given, facts: Citing) -> str:
    reached = float(given["tear.retraction_mm"] or 0) >= float(given["judgement.glenoid_rim_mm"] or 0)
    last = facts.number("class.retraction.stages")
    return f"stage {last:g}" if reached else f"below stage {last:g}: confirm by eye"


def _rule(facts: Citing) -> str:
    return f"stage {facts.number('class.retraction.stages'):g} where the stump reaches the glenoid rim; else by eye"


RULES = (
    ClassRule(
        "retraction-to-glenoid",
        "Retraction against the glenoid rim",
        "How far is the tendon drawn back?",
        _domain,
        _decide,
        _rule,
        "",
        full,
    ),
)
