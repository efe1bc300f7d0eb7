"""The usual order beside the plan as the page shows it: rows of counts, differences with their reasons, moves."""

from typing import Any

from cuffwright.case.limb_answer import Compared
from cuffwright.case.limb_plan import LimbCounts

ROWS = {
    "moves": "Moves",
    "retrievals": "Retrievals",
    "shuttles": "Limbs moved in them",
    "passes": "Passes",
    "knots": "Knots",
    "seats": "Lateral anchors",
    "scope_moves": "Changes of view",
    "pulls": "Pulls through tendon",
    "most_parked": "Limbs outside at once",
    "crossings": "Crossings with an untied limb",
}
"""What is counted, in the order it is shown."""


def usual_view(found: Compared | None, planned: LimbCounts, why: str) -> dict[str, Any]:
    """Counts of both orders, what sets them apart and why; ``why`` alone where they are not compared."""
    if found is None:
        return {"not_computed": why, "counts": [], "differences": [], "steps": []}
    counts = [(words, getattr(found.counts, name), getattr(planned, name)) for name, words in ROWS.items()]
    return {"not_computed": "", "counts": counts, "differences": found.differences, "steps": found.words}
