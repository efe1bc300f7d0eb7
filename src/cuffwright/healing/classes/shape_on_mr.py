"""Geometric type of the tear on MR from its two greatest sizes; provisional until the leaves are moved."""

from cuffwright.anatomy.tear_size import MM_PER_CM, cm
from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.size_by_width import full
from cuffwright.healing.deciding import TRUTHS, Domain, Given, around


def shape_type(length_cm: float, width_cm: float, worn_and_touching: bool, long_cm: float) -> str:
    """The type from length medially and width front to back; type 3 is asked before types 1 and 2."""
    if worn_and_touching:
        return "type 4, cuff arthropathy"
    if length_cm > long_cm and width_cm > long_cm:
        return "type 3, massive contracted"
    return "type 2, longitudinal" if length_cm > width_cm else "type 1, crescent"


def _domain(facts: Citing) -> Domain:
    edge = facts.number("class.shape.long") * MM_PER_CM
    sizes = around(edge)
    return {
        "tear.retraction_mm": sizes,
        "tear.width_mm": sizes,
        "judgement.acromion_contact": TRUTHS,
        "judgement.joint_arthritis": TRUTHS,
    }


def _decide(given: Given, facts: Citing) -> str:
    worn = bool(given["judgement.acromion_contact"]) and bool(given["judgement.joint_arthritis"])
    length, width = cm(float(given["tear.retraction_mm"] or 0)), cm(float(given["tear.width_mm"] or 0))
    return shape_type(length, width, worn, facts.number("class.shape.long"))


def _rule(facts: Citing) -> str:
    edge = facts.number("class.shape.long")
    return (
        f"head touches acromion and joint worn: 4; both sizes above {edge:g} cm: 3; "
        "longer medially than wide: 2; else 1"
    )


RULES = (
    ClassRule(
        "shape-on-mr",
        "Geometric type on MR",
        "What shape has the tear?",
        _domain,
        _decide,
        _rule,
        "Provisional: shape is decided in theatre by which leaf moves; on MR it did not predict scores in one series.",
        full,
    ),
)
