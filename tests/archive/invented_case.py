"""An invented case to store, the hands that store it, and hands that damage what was stored."""

import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from cuffwright.archive import Archive, Event

START = datetime(2026, 3, 1, 7, tzinfo=UTC)
PATIENT = "LOCAL-4711"
TITLE = "Invented crescent tear"

OPENED = {
    "title": TITLE,
    "sheet": {"format": 1, "identity": {"patient": PATIENT, "side": "right", "operation_date": "2026-03-09"}},
}


def add(archive: Archive, expected: int, kind: str, payload: dict[str, Any], case: str = "case-1") -> Event:
    """Append one event as the invented surgeon, with an id made of case and number."""
    at = START + timedelta(minutes=expected)
    return archive.append(case, expected, f"{case}/{expected + 1}", kind, payload, "surgeon-1", "surgeon", at)


def opened(archive: Archive, moves: int = 0, case: str = "case-1") -> list[Event]:
    """Open a case and move its first anchor ``moves`` times."""
    events = [add(archive, 0, "case.opened", OPENED, case)]
    for step in range(1, moves + 1):
        events.append(add(archive, step, "anchor.moved", {"anchor": "1", "u": 6.0 + step, "v": 2.5}, case))
    return events


def tampered(folder: Path, *statements: str) -> None:
    """Run SQL behind the archive's back, past its triggers and foreign keys."""
    connection = sqlite3.connect(folder / "archive.db", isolation_level=None)
    try:
        for act in ("update", "delete"):
            connection.execute(f"DROP TRIGGER IF EXISTS events_refuse_{act}")
        for statement in statements:
            connection.execute(statement)
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        connection.close()
