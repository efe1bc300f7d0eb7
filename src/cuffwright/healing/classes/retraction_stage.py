"""Stage of retraction in the frontal plane: at the insertion, over the head, at the glenoid."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.size_by_width import full
from cuffwright.healing.deciding import Domain, Given
from cuffwright.healing.known import Value


def _domain(facts: Citing) -> Domain:
    last = int(facts.number("class.retraction.stages"))
    stages: tuple[Value, ...] = tuple(range(1, last + 1))
    return {"judgement.retraction_stage": stages}


def _decide(given: Given, _facts: Citing) -> str:
    return f"stage {given['judgement.retraction_stage']:g}"


def _rule(facts: Citing) -> str:
    last = facts.number("class.retraction.stages")
    return f"1 near the insertion, 2 over the head, {last:g} at the glenoid or further; read by eye"


RULES = (
    ClassRule(
        "retraction-stage",
        "Stage of retraction",
        "How far is the tendon drawn back?",
        _domain,
        _decide,
        _rule,
        "The edge between 1 and 2 is no number in the sources. From stage 2 the Y view shows too little muscle.",
        full,
    ),
)
