"""Early motion by size: allowed up to 3 cm, a warning above, blocked by default above 5 cm."""

from cuffwright.anatomy.tear_size import cm
from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said, delay

WEEK = "rehab.early.week"
BLOCKED = "rehab.early.blocked"


def say(repaired: Repaired, facts: Citing) -> Said:
    """Whether passive motion may begin early in a tear of this size."""
    width, row = cm(repaired.width_mm), facts.fact(WEEK)
    allowed, blocked = facts.number("rehab.early.allowed"), facts.number(BLOCKED)
    early, late = facts.number("rehab.early.large.early"), facts.number("rehab.early.large.late")
    odds = facts.fact("rehab.early.trials")
    trials = f"odds over all trials {odds.value:g} ({odds.low:g} to {odds.high:g})"
    if width > blocked:
        words = (
            f"above {blocked:g} cm early motion went with {early:.1%} retears against {late:.1%}, pooled, lower levels"
        )
        week = row.high if row.high is not None else row.value
        return Said((delay("passive motion", week, words, (WEEK, BLOCKED), facts),))
    begins = repaired.protocol.passive_week if repaired.protocol else None
    if width > allowed:
        when = "" if begins is None else f"; the protocol begins in week {begins:g}"
        return Said(
            cautions=(f"Early motion above {allowed:g} cm: take care, retears rise with size; {trials}{when}.",)
        )
    return Said()
