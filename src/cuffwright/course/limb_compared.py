"""The usual order of work with the limbs of a repair beside its plan: counts, and the reason for each difference."""

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_answer import Compared
from cuffwright.case.limb_plan import LimbPlan
from cuffwright.case.limbs import LimbField, LimbState
from cuffwright.limbs.counts import count
from cuffwright.limbs.judge import check
from cuffwright.limbs.usual import differences, usual
from cuffwright.limbs.words import said


def beside(field: LimbField, state: LimbState, plan: LimbPlan) -> tuple[Compared | None, str]:
    """The usual order beside a plan from ``state``, before the first anchor; or None and why they are not compared."""
    try:
        common = usual(field)
        findings, _ = check(field, state, common)
    except CaseError as wrong:
        return None, f"comparison with the usual order not computed, since {wrong}"
    broken = next((one for one in findings if one.severity == "illegal"), None)
    if broken:
        words = f"step {broken.step} of that order breaks the rule {broken.rule} here"
        return None, f"comparison with the usual order not computed, since {words}"
    found = differences(field, state, common, plan.moves)
    told = tuple((one.purpose, one.usual, one.planned, one.reason) for one in found)
    counts = count(field, state, common)
    return Compared(counts.moves, plan.counts.moves, told, counts, tuple(said(field, move) for move in common)), ""
