"""Whether the repair is whole on imaging: the raw type is always kept, and nothing is called healed before its time."""

from datetime import date, timedelta
from typing import get_args

from cuffwright.case.fact import Citing
from cuffwright.case.followup import ImagedRepair, Integrity, MrType, Seen

ROMAN = get_args(MrType)


def imaged(operation: date, day: date, seen: Seen, facts: Citing) -> ImagedRepair:
    """What an image of that day says of the repair."""
    early = day < operation + timedelta(weeks=facts.number("retear.weeks.sure"))
    row = facts.fact("healed.last")
    weeks = facts.number("retear.weeks.sure")
    if seen.imaging == "MR":
        grade = ROMAN.index(seen.mr_type) + 1
        torn, raw, verified = grade > row.value, f"type {seen.mr_type} on MR", row.verified
    else:
        torn, raw, verified = not seen.whole, "not whole" if not seen.whole else "whole", True
    if torn:
        words = f"{raw}: torn again"
    elif early:
        words = f"{raw}: not called healed before week {weeks:g}, since nearly all retears come before it"
    else:
        words = f"{raw}: healed"
    said: Integrity | None = "torn again" if torn else None if early else "healed"
    return ImagedRepair(day, seen.imaging, seen.mr_type, said, words, verified)
