"""A partial tear of less than half of the tendon."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

DEPTH, WHOLE = "tear.partial_depth_mm", "tear.thickness_mm"


def _holds(known: Known, facts: Citing) -> str | None:
    if known.yes("tear.full_thickness"):
        return None
    depth, whole = known.number(DEPTH), known.number(WHOLE)
    if depth is None or whole is None:
        return "How deep the partial tear is cannot be said: needs depth and thickness."
    half = facts.number("class.depth.half")
    if depth >= half * whole:
        return None
    grown = facts.number("guideline.grown.partial")
    return (
        f"Less than {half:.0%} of the thickness is torn, the usual line for repair; a convention with weak evidence."
        f" Without surgery {grown:.1%} of partial tears grew in about two years."
    )


AGAINST = Against("shallow", (), _holds, "convention")
