"""The reparability score expects a partial repair."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.models._model import answer, percent
from cuffwright.healing.models.reparability import AGE, INTERVAL, MODEL, WIDTH
from cuffwright.healing.reasons._reason import Against


def _holds(known: Known, facts: Citing) -> str | None:
    found = answer(MODEL, known, facts)
    least, most = found.points or (0, 0)
    if least < facts.number("reparable.cut") or found.low is None or found.high is None:
        return None
    points = f"{least:g}" if least == most else f"{least:g} to {most:g}"
    rate = percent(found.low) if found.low == found.high else f"{percent(found.low)} to {percent(found.high)}"
    outside = "".join(f"; here {why}" for why in found.why_outside)
    return (
        f"Reparability score {points} of 3: {rate} of such tears in the series could be repaired only in part{outside}."
    )


AGAINST = Against(
    "expected-partial",
    (AGE, INTERVAL, WIDTH),
    _holds,
    "one series, derived and tested in the same group",
    only_if=MODEL.only_if,
)
