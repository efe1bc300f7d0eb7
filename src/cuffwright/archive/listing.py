"""Keep the list of cases: written with each event, mended from the events when it cannot be read."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, LargeBinary, cast, delete, insert, select

from cuffwright.archive import rows
from cuffwright.archive.chain import Raw
from cuffwright.archive.keys import PatientKey
from cuffwright.archive.projection import CaseLine, CaseState, Standing, standing_of
from cuffwright.archive.reader import Reader
from cuffwright.archive.schema import CaseRow
from cuffwright.archive.seal import Place, lock, unlock
from cuffwright.archive.utc import utc_moment
from cuffwright.case.errors import ArchiveError

COLUMNS = ("key", "standing", "updated_at", "last_seq", "head")


@dataclass(frozen=True)
class Kept:
    """A stored line, its standing still locked."""

    case: str
    key: str
    standing: bytes
    updated_at: datetime
    last_seq: int
    head: str


def kept(connection: Connection, case: str) -> Kept | None:
    """The stored line of ``case``, or None when there is none or it cannot be read."""
    chosen = select(*(cast(getattr(CaseRow, name), LargeBinary) for name in COLUMNS)).where(CaseRow.case == case)
    row = connection.execute(chosen).first()
    if row is None:
        return None
    key, standing, at, last, head = (bytes(value or b"") for value in row)
    try:
        return Kept(case, rows.text(key), standing, utc_moment(rows.text(at)), rows.number(last), rows.text(head))
    except ArchiveError:
        return None


def write(connection: Connection, case: str, last: Raw, standing: Standing, key: PatientKey | None) -> None:
    """Write the line of ``case`` as it stands after ``last``; without a key only what is in clear anyway."""
    seq = rows.number(last["seq"])
    values: dict[str, Any] = {
        "case": case,
        "key": rows.text(last["key"]),
        "standing": lock(key, standing.written(), _place(case, seq)) if key else b"",
        "archived": standing.now().get("archived", False),
        "updated_at": utc_moment(rows.text(last["at"])),
        "last_seq": seq,
        "head": rows.text(last["hash"]),
        "undo_seq": standing.history.undo,
        "redo_seq": standing.history.redo,
    }
    connection.execute(delete(CaseRow).where(CaseRow.case == case))
    connection.execute(insert(CaseRow).values(values))


def standing(connection: Connection, reader: Reader, case: str, last: Raw, key: PatientKey) -> Standing:
    """The standing of ``case`` after ``last``: from its line, or folded from the events when the line is no use.

    Raises
    ------
    ArchiveError
        If the line is no use and the chain is broken.
    """
    line = kept(connection, case)
    if line is not None and line.last_seq == rows.number(last["seq"]) and line.head == rows.text(last["hash"]):
        try:
            what = f"the line of case {case} in the list"
            return Standing.read(unlock(key, line.standing, _place(case, line.last_seq), what))
        except ArchiveError:
            pass
    return standing_of(reader.events(case, rows.of_case(connection, case)))


def fold_anew(connection: Connection, reader: Reader, case: str, stored: Sequence[Raw]) -> None:
    """Write the line of ``case`` from its events alone.

    Raises
    ------
    ArchiveError
        If the chain is broken or an event cannot be read.
    """
    key = reader.keys.find(rows.text(stored[-1]["key"]))
    found = Standing() if key is None else standing_of(reader.events(case, stored))
    write(connection, case, stored[-1], found, key)


def line(connection: Connection, reader: Reader, case: str) -> CaseLine:
    """The line of ``case`` as shown.

    Raises
    ------
    ArchiveError
        If there is no such case, or its last event cannot even be dated.
    """
    last = rows.last_of(connection, case)
    if last is None:
        raise ArchiveError(f"there is no case {case} in this archive; choose one from the list")
    name = rows.text(last["key"])
    key = reader.keys.find(name)
    if key is None:
        return _mark(case, last, "erased" if reader.keys.erased(name) else "locked")
    try:
        found = standing(connection, reader, case, last, key)
    except ArchiveError:
        return _mark(case, last, "damaged")
    now = found.now()
    return CaseLine(
        case,
        "open",
        now.get("title"),
        now.get("patient"),
        now.get("side"),
        now.get("operation_date"),
        now.get("archived", False),
        utc_moment(rows.text(last["at"])),
        rows.number(last["seq"]),
        found.history.undo,
        found.history.redo,
    )


def _mark(case: str, last: Raw, state: CaseState) -> CaseLine:
    at, seq = utc_moment(rows.text(last["at"])), rows.number(last["seq"])
    return CaseLine(case, state, None, None, None, None, state == "erased", at, seq, None, None)


def _place(case: str, seq: int) -> Place:
    return ("list of cases", case, seq)
