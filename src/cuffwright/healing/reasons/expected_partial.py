"""The reparability score expects a partial repair."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.models.reparability import AGE, INTERVAL, WIDTH, reparability_points
from cuffwright.healing.reasons._reason import Against

NEEDS = (AGE, INTERVAL, WIDTH)


def _holds(known: Known, facts: Citing) -> str | None:
    age, interval, width = (known.number(path) or 0.0 for path in NEEDS)
    points = reparability_points(age, interval, width, facts)
    if points < facts.number("reparable.cut"):
        return None
    rate = facts.number(f"reparable.partial.{points}")
    return f"Reparability score {points} of 3: {rate:.0%} of such tears in the series could be repaired only in part."


AGAINST = Against("expected-partial", NEEDS, _holds, "one series, derived and tested in the same group")
