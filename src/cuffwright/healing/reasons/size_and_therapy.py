"""Small to medium tears, where therapy helps too."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes.size_by_width import size_class
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

PATH = "tear.width_mm"


def _holds(known: Known, facts: Citing) -> str | None:
    if size_class(known.number(PATH) or 0.0, facts) not in {"small", "medium"}:
        return None
    gain, grown = facts.fact("guideline.constant"), facts.number("guideline.grown.full")
    return (
        "Small to medium tears improve with therapy as well as with surgery; in one trial surgery was ahead by"
        f" {gain.value:g} ({gain.low:g} to {gain.high:g}) of 100 points after ten years. Without surgery {grown:.1%} of"
        " full-thickness tears grew in about three years."
    )


AGAINST = Against(
    "size-and-therapy",
    (PATH,),
    _holds,
    "strong",
    ("exercise and physiotherapy", "injection", "waiting and imaging again"),
)
