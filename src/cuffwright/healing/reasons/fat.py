"""Much fat in supraspinatus or infraspinatus."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

NEEDS = ("muscle.supraspinatus_fat", "muscle.infraspinatus_fat")


def _holds(known: Known, facts: Citing) -> str | None:
    limit = facts.number("against.fat")
    fat = [path.split(".")[1].removesuffix("_fat") for path in NEEDS if (known.number(path) or 0) >= limit]
    if not fat:
        return None
    return f"Fat of grade {limit:g} or more in {' and '.join(fat)}: partial repairs were more frequent from there on."


AGAINST = Against("fat", NEEDS, _holds, "one series of 131 repairs")
