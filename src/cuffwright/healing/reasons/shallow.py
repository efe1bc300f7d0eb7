"""A partial tear of less than half of the tendon."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against
from cuffwright.healing.without_surgery import grown

DEPTH, WHOLE = "tear.partial_depth_mm", "tear.thickness_mm"


def _partial(known: Known) -> bool:
    return not known.yes("tear.full_thickness")


def _holds(known: Known, facts: Citing) -> str | None:
    depth, whole, half = known.number(DEPTH), known.number(WHOLE), facts.number("class.depth.half")
    if depth is None or whole is None or depth >= half * whole:
        return None
    return (
        f"Less than {half:.0%} of the thickness is torn, the usual line for repair; a convention with weak evidence."
        f" {grown(known, facts)}"
    )


AGAINST = Against("shallow", (DEPTH, WHOLE), _holds, "convention", only_if=_partial)
