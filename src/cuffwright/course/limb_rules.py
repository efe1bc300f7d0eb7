"""The rule table and settings of suture limbs, read from their rows: what is hard, preferred, a risk or a note."""

from cuffwright.case.errors import EvidenceError
from cuffwright.case.fact import Citing
from cuffwright.case.limbs import LimbRule, Weight

NAMES: dict[Weight, tuple[str, ...]] = {
    "hard": (
        "where",
        "subacromial",
        "scope-clear",
        "portal-open",
        "capacity",
        "reach",
        "eyelet",
        "grasp",
        "unpassed-only",
        "cannula",
        "pass-alone",
        "hand-over",
        "anchors-first",
        "pass-order",
        "pierce-view",
        "tie-alone",
        "together",
        "passes-first",
        "tie-order",
        "cut-after-knot",
        "seat-complete",
        "seat-load",
        "ties-first",
        "tested",
        "astray",
        "capture",
    ),
    "risk": ("pin", "covered", "brought-alone", "interlock"),
    "note": ("unloading", "pulls", "alike", "eyelet-unknown"),
    "soft": ("park", "crossing"),
}
"""Rules by the weight their row gives them; the planner and the judge ask for them by these names."""


def limb_rules(facts: Citing) -> tuple[LimbRule, ...]:
    """Every rule with its reason, weight, provenance and source.

    Raises
    ------
    EvidenceError
        When a row is missing, or says no reason.
    """
    found = []
    for weight, names in NAMES.items():
        for name in names:
            row = facts.fact(f"limbs.{weight}.{name}")
            if not row.note:
                raise EvidenceError(f"the limb rule {name} has no reason in its row; write why it holds")
            found.append(LimbRule(name, weight, round(row.value), row.note, row.provenance, row.source.citation))
    return tuple(found)
