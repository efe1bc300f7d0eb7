"""Small to medium tears, where therapy helps too."""

from cuffwright.anatomy.tear_size import size_class
from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against
from cuffwright.healing.without_surgery import grown

PATH = "tear.width_mm"


def _holds(known: Known, facts: Citing) -> str | None:
    width = known.number(PATH)
    if width is None or size_class(width, facts) not in {"small", "medium"}:
        return None
    gain = facts.fact("guideline.constant")
    return (
        "Small to medium tears improve with therapy as well as with surgery; in one trial surgery was ahead by"
        f" {gain.value:g} ({gain.low:g} to {gain.high:g}) of 100 points after ten years."
        f" {grown(known, facts)}"
    )


AGAINST = Against(
    "size-and-therapy",
    (PATH,),
    _holds,
    "strong",
    ("exercise and physiotherapy", "injection", "waiting and imaging again"),
)
