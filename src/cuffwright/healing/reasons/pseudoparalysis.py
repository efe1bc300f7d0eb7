"""An arm that cannot be raised for long."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "judgement.pseudoparalysis"


def _holds(known: Known, facts: Citing) -> str | None:
    if not known.yes(PATH):
        return None
    some, most = facts.number("against.pseudoparalysis.repairable"), facts.number("against.pseudoparalysis.irreparable")
    return f"The arm cannot be raised: seen in {some:.1%} of repairable tears and in {most:.1%} of those that were not."


AGAINST = Against("pseudoparalysis", (PATH,), _holds, "one series of 758 tears")
