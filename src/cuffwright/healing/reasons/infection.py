"""A suspected infection."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "judgement.infection_suspected"


def _holds(known: Known, _facts: Citing) -> str | None:
    return "An infection is suspected: clear it up before any implant." if known.yes(PATH) else None


AGAINST = Against("infection", (PATH,), _holds, "general teaching", ("treating the infection first",))
