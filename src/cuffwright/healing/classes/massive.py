"""Is the tear massive? Three definitions that disagree in single patients, each true or false."""

from cuffwright.anatomy.tear_size import size_class
from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.size_by_width import full, size_domain
from cuffwright.healing.deciding import TRUTHS, Domain, Given, around
from cuffwright.healing.known import Value

QUESTION = "Is the tear massive?"
CAUTION = "The three definitions disagree in single patients; report each."


def _said(answer: bool) -> str:
    return "massive" if answer else "not massive"


def _by_width(given: Given, facts: Citing) -> str:
    return _said(size_class(float(given["tear.width_mm"] or 0), facts) == "massive")


def _by_tendons(given: Given, facts: Citing) -> str:
    return _said(float(given["tear.tendons"] or 0) >= facts.number("class.massive.tendons"))


def _tendons(facts: Citing) -> Domain:
    return {"tear.tendons": around(facts.number("class.massive.tendons"))}


def uncovered(width_mm: float, footprint_mm: float) -> float:
    """Share of the footprint, front to back, that lies bare: both sizes as chords, mm."""
    return width_mm / footprint_mm if footprint_mm > 0 else 1.0


def _consensus(_facts: Citing) -> Domain:
    rim: tuple[Value, ...] = (1, 2, 3)
    return {"judgement.retraction_stage": rim, "tear.width_mm": around(), "footprint.ap_mm": TRUTHS}


def _by_consensus(given: Given, facts: Citing) -> str:
    rim = given["judgement.retraction_stage"] == facts.number("class.retraction.stages")
    bare, whole = given["tear.width_mm"], given["footprint.ap_mm"]
    if isinstance(whole, bool):
        wide = whole
    else:
        wide = uncovered(float(bare or 0), float(whole or 0)) >= facts.number("class.massive.uncovered")
    return _said(rim or wide)


def _words_width(facts: Citing) -> str:
    return f"width of {facts.number('class.size.massive'):g} cm or more"


def _words_tendons(facts: Citing) -> str:
    return f"{facts.number('class.massive.tendons'):g} complete tendons or more"


def _words_consensus(facts: Citing) -> str:
    share = facts.number("class.massive.uncovered")
    return f"stump at the glenoid rim, or {share:.0%} of the footprint or more bare front to back"


RULES = (
    ClassRule("massive-by-width", "By width", QUESTION, size_domain, _by_width, _words_width, CAUTION, full),
    ClassRule("massive-by-tendons", "By tendons", QUESTION, _tendons, _by_tendons, _words_tendons, CAUTION, full),
    ClassRule(
        "massive-by-consensus", "By consensus", QUESTION, _consensus, _by_consensus, _words_consensus, CAUTION, full
    ),
)
