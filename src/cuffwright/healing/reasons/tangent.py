"""A positive tangent sign."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "muscle.tangent_positive"


def _holds(known: Known, facts: Citing) -> str | None:
    if not known.yes(PATH):
        return None
    some, most = facts.number("against.tangent.repairable"), facts.number("against.tangent.irreparable")
    return f"Tangent sign positive: seen in {some:.1%} of repairable tears and in {most:.1%} of those that were not."


AGAINST = Against("tangent", (PATH,), _holds, "one series of 758 tears")
