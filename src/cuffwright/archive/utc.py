"""One form for every moment in the store: UTC, microseconds, ending in Z.

SQLite has no type for time and drops the zone of one written as such, so 09:00+02:00 would come back as a
bare 09:00. A moment is therefore kept as text of fixed length, which sorts and hashes the same everywhere.
"""

from datetime import UTC, datetime

from sqlalchemy import Dialect, String
from sqlalchemy.types import TypeDecorator

from cuffwright.case.errors import ArchiveError

FORM = "%Y-%m-%dT%H:%M:%S.%fZ"


def utc_text(at: datetime) -> str:
    """The moment ``at`` as UTC text.

    Raises
    ------
    ArchiveError
        If ``at`` has no time zone.

    Examples
    --------
    >>> utc_text(datetime.fromisoformat("2026-03-01T09:00:00+02:00"))
    '2026-03-01T07:00:00.000000Z'
    """
    if at.utcoffset() is None:
        raise ArchiveError(f"the time {at.isoformat()} has no time zone, so it is not kept; give it one")
    moment = at.astimezone(UTC)
    return f"{moment.year:04d}" + moment.strftime(FORM.removeprefix("%Y"))


def utc_moment(text: str) -> datetime:
    """Read a moment written by :func:`utc_text`.

    Raises
    ------
    ArchiveError
        If the text has any other form.
    """
    try:
        moment = datetime.strptime(text, FORM).replace(tzinfo=UTC)
    except ValueError:
        moment = None
    if moment is None or utc_text(moment) != text:
        raise ArchiveError(f"the stored time {text!r} is not UTC in full form; it was altered, take it from a backup")
    return moment


class UtcTime(TypeDecorator[datetime]):
    """Column type: an aware datetime in Python, UTC text in the database."""

    impl = String(27)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """Turn an aware datetime into UTC text; raises ArchiveError without a time zone."""
        return None if value is None else utc_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Turn stored text into an aware datetime; raises ArchiveError when altered."""
        return None if value is None else utc_moment(str(value))
