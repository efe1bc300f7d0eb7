"""A stiff shoulder before surgery."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "judgement.stiff"


def _holds(known: Known, facts: Citing) -> str | None:
    if not known.yes(PATH):
        return None
    rate = facts.number("risk.months6.stiffness")
    return f"The shoulder is stiff now; {rate:.1%} of repaired shoulders were stiff within six months in one series."


AGAINST = Against("stiffness", (PATH,), _holds, "general teaching", ("exercise and physiotherapy", "injection"))
