"""Events as the rows stored, read as plain bytes so that an altered row can be looked at and named."""

from typing import Any

from sqlalchemy import Connection, LargeBinary, Select, cast, insert, select

from cuffwright.archive.chain import HASHED, Raw
from cuffwright.archive.schema import CaseRow, EventRow
from cuffwright.archive.utc import utc_moment
from cuffwright.case.errors import ArchiveError

COLUMNS = (*HASHED, "hash")
NUMBERS = frozenset({"seq", "schema"})


def of_case(connection: Connection, case: str, after: int = 0) -> list[Raw]:
    """The events of ``case`` numbered above ``after``, in order."""
    chosen = _events().where(EventRow.case == case, EventRow.seq > after).order_by(EventRow.seq)
    return [_raw(row) for row in connection.execute(chosen)]


def with_id(connection: Connection, command_id: str) -> Raw | None:
    """The event with that command id, or None."""
    row = connection.execute(_events().where(EventRow.id == command_id)).first()
    return None if row is None else _raw(row)


def last_of(connection: Connection, case: str) -> Raw | None:
    """The last event of ``case``, or None when there is none."""
    chosen = _events().where(EventRow.case == case).order_by(EventRow.seq.desc()).limit(1)
    row = connection.execute(chosen).first()
    return None if row is None else _raw(row)


def case_keys(connection: Connection) -> list[str]:
    """Every case named by an event or by the list of cases, in order."""
    named: set[str] = set()
    for column in (EventRow.case, CaseRow.case):
        found = connection.execute(select(cast(column, LargeBinary)).distinct())
        named |= {text(row[0] or b"") for row in found}
    return sorted(named)


def add(connection: Connection, raw: Raw) -> None:
    """Add one event as it stands in ``raw``."""
    values: dict[str, Any] = {name: text(raw[name]) for name in COLUMNS if name not in NUMBERS}
    values |= {name: number(raw[name]) for name in NUMBERS}
    values |= {"at": utc_moment(text(raw["at"])), "payload": raw["payload"]}
    connection.execute(insert(EventRow).values(values))


def text(stored: bytes) -> str:
    """Stored text; bytes that are no text are replaced, so that they can be named."""
    return stored.decode("utf-8", "replace")


def number(stored: bytes) -> int:
    """A stored whole number; raises ArchiveError when altered."""
    try:
        return int(text(stored))
    except ValueError:
        raise ArchiveError(f"a stored number reads {text(stored)!r:.40}; it was altered, restore a backup") from None


def _events() -> Select[Any]:
    columns: list[Any] = [cast(getattr(EventRow, name), LargeBinary) for name in COLUMNS]
    chosen: Select[Any] = select(*columns)
    return chosen


def _raw(row: Any) -> Raw:
    return {name: bytes(value or b"") for name, value in zip(COLUMNS, row, strict=True)}
