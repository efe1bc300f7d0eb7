"""The tangent sign: read by eye or computed on the image elsewhere; here it is taken as told."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.deciding import TRUTHS, Domain, Given


def _domain(_facts: Citing) -> Domain:
    return {"muscle.tangent_positive": TRUTHS}


def _decide(given: Given, _facts: Citing) -> str:
    return "positive" if given["muscle.tangent_positive"] else "negative"


def _rule(facts: Citing) -> str:
    share = facts.number("against.tangent.irreparable")
    return f"positive where no muscle lies above the line; seen in {share:.1%} of tears that could not be repaired"


RULES = (ClassRule("tangent-sign", "Tangent sign", "How wasted is the supraspinatus?", _domain, _decide, _rule),)
