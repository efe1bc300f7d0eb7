"""Dates on labels: two-digit years, days left out, days of the year."""

from calendar import monthrange
from datetime import date, timedelta

from cuffwright.case.errors import FormatError

AHEAD, CENTURY = 50, 100
"""A year of two digits lies at most 50 years ahead and 49 back (GS1 general specifications, 7.12)."""


def full_year(two: int, today: date) -> int:
    """The year meant by its last two digits.

    Examples
    --------
    >>> full_year(76, date(2026, 1, 1)), full_year(77, date(2026, 1, 1))
    (2076, 1977)
    """
    year = today.year - today.year % CENTURY + two
    if year - today.year > AHEAD:
        return year - CENTURY
    return year + CENTURY if today.year - year >= AHEAD else year


def short_date(text: str, what: str, today: date) -> tuple[date, str]:
    """The date meant by YYMMDD, and a note when its day is 00.

    Raises
    ------
    FormatError
        When there is no such day.
    """
    year, month, day = full_year(int(text[:2]), today), int(text[2:4]), int(text[4:])
    return calendar_date(year, month, day, f"{what} {text}")


def calendar_date(year: int, month: int, day: int, what: str) -> tuple[date, str]:
    """A date; day 0 means the last of the month and gives a note. Raises FormatError when there is no such day."""
    note = ""
    try:
        if day == 0:
            day = monthrange(year, month)[1]
            note = f"The {what} names no day; it is read as the last of the month."
        return date(year, month, day), note
    except ValueError:
        raise FormatError(f"the {what} of the label is no day of the calendar; scan it again") from None


def day_of_year(year: int, day: int, what: str) -> date:
    """The date of a day counted from 1 January; raises FormatError when the year has no such day."""
    found = date(year, 1, 1) + timedelta(days=day - 1)
    if day < 1 or found.year != year:
        raise FormatError(f"the {what} of the label is no day of the calendar; scan it again")
    return found
