"""The archive: cases as append-only events, in a folder on this machine."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import Connection, Engine

from cuffwright.archive import listing, migration, rows
from cuffwright.archive.bundle import read_bundle, write_bundle
from cuffwright.archive.canonical import canonical
from cuffwright.archive.chain import Fault, Raw, Verdict, walk
from cuffwright.archive.connection import WRITING, check_heading, connect
from cuffwright.archive.event import Command, Event
from cuffwright.archive.keys import KeyRing, PatientKey
from cuffwright.archive.projection import CaseLine, Standing, shown
from cuffwright.archive.reader import Reader
from cuffwright.archive.refusal import StaleCase, said
from cuffwright.archive.restore import restore
from cuffwright.archive.undo import UNDO
from cuffwright.archive.upcasters import UPCASTERS, Upcasters
from cuffwright.case.errors import ArchiveError

FILE = "archive.db"
KEYS = "keys"


class Archive:
    """An open archive; use it in a ``with`` block or call :meth:`close`. Safe to share between threads.

    Every method raises ArchiveError, in one sentence, when the disk or the database refuses.
    """

    def __init__(self, folder: Path, engine: Engine, reader: Reader) -> None:
        self.folder = folder
        self._engine = engine
        self._writer = engine.execution_options(**{WRITING: True})
        self._reader = reader

    def append(
        self,
        case: str,
        expected_seq: int,
        command_id: str,
        kind: str,
        payload: Mapping[str, Any],
        by: str,
        role: str,
        at: datetime,
        *,
        patient: str | None = None,
    ) -> Event:
        """Add one event and return it; once this returns, it survives a crash.

        Parameters
        ----------
        case
            The case's key, an opaque word; it stays in clear, as do ``command_id``, ``kind``, ``by`` and ``role``.
        expected_seq
            The last sequence number the client knows; 0 opens a new case.
        command_id
            The client's own id. The same command sent again returns the stored event and adds nothing.
        payload
            JSON values; kept locked with the patient's key.
        at
            When, with a time zone.
        patient
            Local patient key. Needed for the first event unless the payload names it in ``identity.patient``.

        Raises
        ------
        StaleCase
            If the case has moved on; its ``since`` holds what the client has not seen.
        ArchiveError
            If the command cannot be kept, its id was used for something else, an undo names the wrong event, the
            patient is another one, or the case is erased, locked or damaged.
        """
        command = Command(case, command_id, kind, payload, by, role, at)
        with self._writing() as connection:
            stored = rows.with_id(connection, command_id)
            if stored is not None:
                return self._again(stored, command)
            last = rows.last_of(connection, case)
            self._check_seq(connection, case, expected_seq, rows.number(last["seq"]) if last else 0)
            key = self._key(case, last, patient or _patient(command))
            if _patient(command) not in (None, key.patient):
                raise ArchiveError(f"case {case} belongs to another patient; open a new case for this one")
            standing = Standing()
            if last is not None:
                self._reader.event(last)
                standing = listing.standing(connection, self._reader, case, last, key)
            raw = self._reader.row(command, key, last)
            event = self._reader.event(raw)
            standing = standing.after(event)
            rows.add(connection, raw)
            listing.write(connection, case, raw, standing, key)
        return event

    def undo(self, case: str, expected_seq: int, command_id: str, by: str, role: str, at: datetime) -> Event:
        """Add the inverse of the last change in force; raises as :meth:`append`, and when there is nothing to undo."""
        return self._inverse("undo", case, expected_seq, command_id, by, role, at)

    def redo(self, case: str, expected_seq: int, command_id: str, by: str, role: str, at: datetime) -> Event:
        """Add the inverse of the last undo; raises as :meth:`append`, and when there is nothing to redo."""
        return self._inverse("redo", case, expected_seq, command_id, by, role, at)

    def events(self, case: str) -> list[Event]:
        """All events of ``case`` in order, payloads unlocked and in today's format.

        After :meth:`destroy_key` they remain, marked ``erased``, with the payload ``{"erased": True}``.

        Raises
        ------
        ArchiveError
            If there is no such case, its chain is broken, or an event is of a newer format.
        """
        with self._reading() as connection:
            return self._reader.events(case, self._rows(connection, case))

    def cases(self) -> list[CaseLine]:
        """The list of cases, the one changed last first."""
        with self._reading() as connection:
            named = [case for case in rows.case_keys(connection) if rows.last_of(connection, case)]
            lines = [listing.line(connection, self._reader, case) for case in named]
        return sorted(lines, key=lambda line: (line.updated_at, line.case), reverse=True)

    def line(self, case: str) -> CaseLine:
        """One line of the list of cases; raises ArchiveError when there is no such case."""
        with self._reading() as connection:
            return listing.line(connection, self._reader, case)

    def verify(self, case: str) -> Verdict:
        """Walk the chain of ``case`` and compare its end with the list of cases; no key is needed.

        Raises
        ------
        ArchiveError
            If neither the events nor the list know the case, or the file is too damaged to be read.
        """
        with self._reading() as connection:
            return self._verify(connection, case)

    def verify_all(self) -> list[Verdict]:
        """The verdict on every case the events or the list name."""
        with self._reading() as connection:
            return [self._verify(connection, case, listed=True) for case in rows.case_keys(connection)]

    def rebuild(self) -> list[Verdict]:
        """Fold the list of cases anew from the events; returns the verdicts on cases that could not be.

        The line of a case whose chain is broken or shortened is left as it is.
        """
        with self._writing() as connection:
            return _rebuild(connection, self._reader)

    def destroy_key(self, patient: str, by: str | None = None, at: datetime | None = None) -> list[str]:
        """Erase a person: destroy all keys of ``patient`` for good; who and when stay as a mark without the patient.

        Returns
        -------
        The cases that can no longer be read. Bundles and backups that carry the key must be destroyed as well.

        Raises
        ------
        ArchiveError
            If there is no key of that patient.
        """
        with self._writing() as connection:
            names = set(self._reader.keys.destroy(patient, by, at))
            ends = {case: rows.last_of(connection, case) for case in rows.case_keys(connection)}
        return [case for case, end in ends.items() if end and rows.text(end["key"]) in names]

    def export_bundle(self, case: str, with_key: bool = False) -> bytes:
        """The case as a file; ``with_key`` adds the patient's key, so that whoever has the file can read it.

        Raises
        ------
        ArchiveError
            If there is no such case, its chain is broken, or the key is wanted and not here.
        """
        with self._reading() as connection:
            stored = self._rows(connection, case)
        verdict = walk(case, stored)
        if not verdict.intact:
            raise ArchiveError(f"{verdict.sentence}; it is not exported, take the case from a backup")
        names = sorted({rows.text(raw["key"]) for raw in stored}) if with_key else []
        found = [self._reader.keys.find(name) for name in names]
        keys = [key for key in found if key is not None]
        if len(keys) < len(names):
            raise ArchiveError(f"the key of case {case} is not here or was destroyed; export it without the key")
        return write_bundle(case, stored, keys)

    def import_bundle(self, content: bytes) -> CaseLine:
        """Take in a bundle: a new case, or the events a known case has not seen yet. Again changes nothing.

        Raises
        ------
        FormatError
            If it is no bundle, or of a newer format.
        ArchiveError
            If it was altered, its history and ours part, an id is taken, or its patient was erased here.
        """
        bundle = read_bundle(content)
        with self._writing() as connection:
            return restore(connection, self._reader, bundle)

    def close(self) -> None:
        """Close all connections."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with said(self.folder), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with said(self.folder), self._writer.begin() as connection:
            yield connection

    def _rows(self, connection: Connection, case: str) -> list[Raw]:
        stored = rows.of_case(connection, case)
        if not stored:
            raise ArchiveError(f"there is no case {case} in this archive; choose one from the list")
        return stored

    def _again(self, stored: Raw, command: Command) -> Event:
        event = self._reader.event(stored)
        same = (event.case, event.kind, event.by) == (command.case, command.kind, command.by)
        if same and not (event.erased or event.locked):
            same = canonical(event.payload) == canonical(command.payload)
        if not same:
            raise ArchiveError(
                f"command id {command.id} was already used for event {event.seq} of case {event.case}; send a new id"
            )
        return event

    def _check_seq(self, connection: Connection, case: str, expected: int, last: int) -> None:
        if type(expected) is not int or expected < 0:
            raise ArchiveError(f"the expected sequence number is {expected!r}; give 0 or the last number seen")
        if expected != last:
            stored = rows.of_case(connection, case)
            raise StaleCase(case, expected, last, self._reader.events(case, stored)[expected:])

    def _key(self, case: str, last: Raw | None, patient: str | None) -> PatientKey:
        if last is None:
            if not patient or not patient.strip():
                raise ArchiveError(f"case {case} names no patient; give a local patient key that is not a name")
            return self._reader.keys.key_for(patient)
        name = rows.text(last["key"])
        key = self._reader.keys.find(name)
        if key is None:
            why = "was erased" if self._reader.keys.erased(name) else "is locked because its key is not in this archive"
            raise ArchiveError(f"case {case} {why}; nothing can be added to it")
        if patient not in (None, key.patient):
            raise ArchiveError(f"case {case} belongs to another patient; open a new case for this one")
        return key

    def _inverse(
        self, what: str, case: str, expected_seq: int, command_id: str, by: str, role: str, at: datetime
    ) -> Event:
        with self._reading() as connection:
            stored = rows.with_id(connection, command_id)
            line = listing.line(connection, self._reader, case)
            self._check_seq(connection, case, expected_seq, line.last_seq) if stored is None else None
        if stored is not None:
            target = self._reader.event(stored).payload.get("undoes")
        else:
            target = line.undo if what == "undo" else line.redo
        if target is None:
            raise ArchiveError(f"there is nothing to {what} in case {case}")
        return self.append(case, expected_seq, command_id, UNDO, {"undoes": target}, by, role, at)

    def _verify(self, connection: Connection, case: str, listed: bool = False) -> Verdict:
        stored, line = rows.of_case(connection, case), listing.kept(connection, case)
        if not (stored or line or listed):
            raise ArchiveError(f"there is no case {case} in this archive; choose one from the list")
        if line is None:
            found = walk(case, stored)
            fault = Fault(len(stored), "cases", "the list of cases lacks it or its line was altered; rebuild the list")
            return Verdict(case, found.events, found.head, (*found.faults, fault))
        return walk(case, stored, line.last_seq, line.head)


def open_archive(folder: Path, *, wait_seconds: float = 5.0, upcasters: Upcasters = UPCASTERS) -> Archive:
    """Open the archive in ``folder``, making it when it is new and bringing old tables up to date.

    Parameters
    ----------
    wait_seconds
        How long a command waits while another program holds the archive.

    Raises
    ------
    ArchiveError
        If the folder cannot be used, the file is damaged or no archive, or its tables are from a newer release.
    """
    reader = Reader(KeyRing(folder / KEYS), upcasters)
    with said(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        check_heading(folder / FILE)
        engine = connect(folder / FILE, wait_seconds)
        try:
            with engine.execution_options(**{WRITING: True}).begin() as connection:
                reader.keys.prepare()
                if migration.upgrade(connection):
                    _rebuild(connection, reader)
        except BaseException:
            engine.dispose()
            raise
    return Archive(folder, engine, reader)


def _rebuild(connection: Connection, reader: Reader) -> list[Verdict]:
    broken = []
    for case in rows.case_keys(connection):
        stored, line = rows.of_case(connection, case), listing.kept(connection, case)
        ends = line.last_seq if line and line.last_seq > len(stored) else None
        verdict = walk(case, stored, ends)
        if stored and verdict.intact:
            listing.fold_anew(connection, reader, case, stored)
        else:
            broken.append(verdict)
    return broken


def _patient(command: Command) -> str | None:
    patient = shown(command.kind, command.payload).get("patient")
    return patient if isinstance(patient, str) else None
