"""A patient who cannot follow the rehabilitation."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "judgement.can_follow_rehabilitation"


def _holds(known: Known, facts: Citing) -> str | None:
    if known.values.get(PATH) is not False:
        return None
    weeks = facts.number("rehab.consensus.strength")
    return f"Rehabilitation cannot be followed as asked; the consensus allows no strengthening before week {weeks:g}."


AGAINST = Against("rehabilitation", (PATH,), _holds, "general teaching")
