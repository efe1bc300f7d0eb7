"""Connections to the archive's SQLite file, each with the same safe settings."""

import sqlite3
import time
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event

HEADING = 100
"""Bytes of the heading of an SQLite file."""

PAUSES = (0.01, 0.03, 0.1, 0.3, 0.5, 0.5)
"""Seconds between tries at switching the write-ahead log on while another program does."""

WRITING = "archive_writing"
"""Execution option of connections that take the write lock at once."""


def connect(file: Path, wait_seconds: float) -> Engine:
    """An engine on ``file``: foreign keys, write-ahead log, full sync, waiting up to ``wait_seconds`` for a lock.

    A transaction starts with an explicit BEGIN, so that reads see one moment and the tables change whole or
    not at all; one with the option :data:`WRITING` starts with BEGIN IMMEDIATE, so that two writers queue
    instead of finding out at the end.
    """
    url = URL.create("sqlite", database=str(file))
    engine = create_engine(url, connect_args={"timeout": wait_seconds}, pool_size=8, max_overflow=24)
    event.listen(engine, "connect", _settle)
    event.listen(engine, "begin", _begin)
    return engine


def check_heading(file: Path) -> None:
    """Refuse a file too short to be a database, which SQLite would take for a new one and write over.

    Raises
    ------
    sqlite3.DatabaseError
        If there is such a file.
    """
    if file.is_file() and 0 < file.stat().st_size < HEADING:
        error = sqlite3.DatabaseError("file is not a database")
        error.sqlite_errorcode = sqlite3.SQLITE_NOTADB
        raise error


def _settle(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None
    try:
        for setting in ("foreign_keys=ON", "synchronous=FULL", "trusted_schema=OFF"):
            connection.execute(f"PRAGMA {setting}").close()
        _write_ahead(connection)
    except BaseException:
        connection.close()
        raise


def _write_ahead(connection: sqlite3.Connection) -> None:
    # Two programs switching a new file at once would wait for each other; SQLite refuses one of them without
    # waiting at all, so the waiting is done here.
    for pause in PAUSES:
        try:
            connection.execute("PRAGMA journal_mode=WAL").close()
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_PROTOCOL):
                raise
            time.sleep(pause)
    connection.execute("PRAGMA journal_mode=WAL").close()


def _begin(connection: Connection) -> None:
    writing = connection.get_execution_options().get(WRITING, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
