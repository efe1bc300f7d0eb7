"""A pull at surgery above what series connect with retears; the limits compete, so each is a soft warning."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "tear.operative_tension_newtons"
LIMITS = ("medium", "large", "massive")


def _holds(known: Known, facts: Citing) -> str | None:
    pull = known.number(PATH) or 0.0
    over = [row for row in (facts.fact(f"retear.tension.{limit}") for limit in LIMITS) if pull > row.value]
    if not over:
        return None
    said = "; ".join(f"{row.value:g} N, {row.note.split(';')[0]}" for row in over)
    return (
        f"{pull:g} N were needed to bring the edge to bone, over retear limits of series: {said}. A warning, no stop."
    )


AGAINST = Against("tension", (PATH,), _holds, "single series that disagree; instruments and arm positions differ")
