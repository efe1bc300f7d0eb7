"""Which visits are due: before, 6 weeks, 3, 6, 12 and 24 months, each with its window."""

from datetime import date, timedelta

from cuffwright.case.fact import Citing
from cuffwright.case.followup import Due, DueVisit

BEFORE = "before"
VISITS = {"week6": "6 weeks", "month3": "3 months", "month6": "6 months", "year1": "12 months", "year2": "24 months"}
WITHOUT_SCORES = frozenset({"week6"})


def due_visits(operation: date, days: tuple[date, ...], today: date, facts: Citing) -> tuple[DueVisit, ...]:
    """Every visit with its window and state on ``today``; ``days`` are those of visits that took place."""
    earliest_image = timedelta(weeks=facts.number("visit.imaging"))
    before: Due = "done" if any(day <= operation for day in days) else "open" if today <= operation else "missed"
    found = [DueVisit(BEFORE, operation, date.min, operation, before, True, False, True)]
    for key, name in VISITS.items():
        row = facts.fact(f"visit.{key}")
        ends = [operation + timedelta(weeks=weeks) for weeks in (row.value, row.low or 0, row.high or row.value)]
        day, opens, closes = ends
        state = _state(days, opens, closes, day, today)
        scores, imaging = key not in WITHOUT_SCORES, opens - operation >= earliest_image
        found.append(DueVisit(name, day, opens, closes, state, scores, imaging, row.verified))
    return tuple(found)


def _state(days: tuple[date, ...], opens: date, closes: date, day: date, today: date) -> Due:
    if any(opens <= one <= closes and one <= today for one in days):
        return "done"
    if today < opens:
        return "not yet"
    if today > closes:
        return "missed"
    return "overdue" if today > day else "open"
