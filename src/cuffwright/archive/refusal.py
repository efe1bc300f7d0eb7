"""What the store says when it must refuse: a stale command, a full disk, a damaged file."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from cuffwright.archive.event import Event
from cuffwright.case.errors import ArchiveError


class StaleCase(ArchiveError):
    """The case has moved on since the client last saw it; ``since`` holds the events it has not seen.

    ``expected`` is the sequence number the client named, ``last`` the case's own.
    """

    def __init__(self, case: str, expected: int, last: int, since: Sequence[Event]) -> None:
        self.case = case
        self.expected = expected
        self.last = last
        self.since = tuple(since)
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        if self.expected > self.last:
            return (
                f"case {self.case} ends at event {self.last}, and the command expected {self.expected}; "
                "reload the case and repeat it"
            )
        news = ", ".join(f"{event.seq} {event.kind} by {event.by}" for event in self.since[-4:])
        return f"case {self.case} has changed since event {self.expected} ({news}); look at the change and repeat it"


SAID = {
    sqlite3.SQLITE_BUSY: "is in use by another program; wait a moment and try again",
    sqlite3.SQLITE_LOCKED: "is in use by another program; wait a moment and try again",
    sqlite3.SQLITE_FULL: "cannot grow because the disk is full; free some space and try again, nothing was kept",
    sqlite3.SQLITE_READONLY: "may only be read here; give this user the right to write to it",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened; check that the folder exists and may be written to",
    sqlite3.SQLITE_PERM: "cannot be opened; give this user the right to write to it",
    sqlite3.SQLITE_AUTH: "cannot be opened; give this user the right to write to it",
    sqlite3.SQLITE_IOERR: "cannot be read or written by the disk; check the disk, then try again",
    sqlite3.SQLITE_CORRUPT: "is damaged; restore it from a backup or import the bundles",
    sqlite3.SQLITE_NOTADB: "is no archive or is damaged; restore it from a backup or choose another folder",
}


@contextmanager
def said(folder: Path) -> Iterator[None]:
    """Turn what the database and the disk report into one sentence about the archive in ``folder``.

    Raises
    ------
    ArchiveError
        In place of any database or disk error inside the block.
    """
    try:
        yield
    except DBAPIError as error:
        raise ArchiveError(_sentence(folder, error.orig)) from error
    except UnicodeDecodeError as error:
        # The driver cannot even decode its own complaint when the damaged bytes stand in it.
        raise ArchiveError(f"the archive in {folder} {SAID[sqlite3.SQLITE_CORRUPT]}") from error
    except (sqlite3.Error, OSError) as error:
        raise ArchiveError(_sentence(folder, error)) from error
    except PoolTimeout as error:
        raise ArchiveError(f"the archive in {folder} has too many readers at once; try again") from error


def _sentence(folder: Path, error: BaseException | None) -> str:
    if isinstance(error, OSError):
        return f"the archive in {folder} cannot be used ({error.strerror}); check the folder and its rights"
    code = getattr(error, "sqlite_errorcode", None)
    if isinstance(code, int) and code & 0xFF in SAID:
        return f"the archive in {folder} {SAID[code & 0xFF]}"
    return f"the archive in {folder} cannot be used ({error}); restore it from a backup or choose another folder"
