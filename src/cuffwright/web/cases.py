"""The cases of this server: read from the archive, changed by commands, listed."""

import re
import secrets
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from cuffwright.archive import CaseLine, Event, History, StaleCase, open_archive
from cuffwright.case.errors import ArchiveError, OutsideValidity
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board, Change, ChoosePattern, Opened, after, fold
from cuffwright.course.measuring import SheetChanged
from cuffwright.course.shelf import LayoutEdited, VersionKept
from cuffwright.web.bench import Bench, Wish
from cuffwright.web.ledger import board_of, entry, words_of
from cuffwright.web.refusal import UnknownCase

KEY = re.compile(r"^case-[0-9a-f]{10}$")
"""What a case key looks like; anything else is not even looked up."""

WHO = "surgeon"
"""Who acts, in a program that one person uses on one machine."""


@dataclass(frozen=True)
class Now:
    """What stands in a case after event ``seq``."""

    seq: int
    board: Board
    history: History


@dataclass(frozen=True)
class Row:
    """One line of the case list."""

    key: str
    state: str
    title: str
    patient: str
    side: str
    operation_date: str | None
    pattern: str | None
    edited: bool
    changed: datetime
    invented: bool
    archived: bool
    seq: int

    def plain(self) -> dict[str, Any]:
        """The row as JSON values."""
        return {**asdict(self), "changed": self.changed.isoformat(timespec="seconds")}


class Stale(Exception):
    """The case has moved on; ``now`` is what stands and ``changed`` what the client has not seen, in words."""

    def __init__(self, now: Now, unseen: Sequence[Event]) -> None:
        self.now = now
        self.changed = [{"seq": e.seq, "words": words} for e, words in zip(unseen, words_of(unseen), strict=True)]
        news = ", ".join(str(change["words"]) for change in self.changed[-4:])
        self.sentence = f"the case changed elsewhere meanwhile ({news}); it is shown as it stands now, do it again"
        super().__init__(self.sentence)


class Cases:
    """The archive seen as boards. Safe to share between threads."""

    def __init__(self, folder: Path, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        self._archive = open_archive(folder)
        self._clock = clock
        self._lock = threading.Lock()
        self._seen: dict[str, Now] = {}

    def now(self, key: str) -> Now:
        """What stands in case ``key``; raises UnknownCase, and ArchiveError when it cannot be read."""
        seq = self._line(key).last_seq
        with self._lock:
            seen = self._seen.get(key)
        if seen and seen.seq == seq:
            return seen
        return self._read(key)

    def lately(self, key: str) -> Now:
        """What stood when the case was last read: for estimates, which store nothing."""
        with self._lock:
            seen = self._seen.get(key)
        return seen or self.now(key)

    def give(self, key: str, command_id: str, expected: int, command: Wish, bench: Bench) -> Now:
        """Make the change that ``command`` asks for, once.

        Raises
        ------
        Stale
            When the case has moved on since ``expected``.
        CaseError
            When the command does not fit what stands.
        """
        now = self.now(key)
        if expected != now.seq:
            return self._again(key, command_id, expected, now)
        return self._made(key, command_id, now, bench.decide(now.board, command))

    def make(self, key: str, command_id: str, expected: int, change: Change) -> Now:
        """Store a change that is already decided, once.

        Raises
        ------
        Stale
            When the case has moved on since ``expected``.
        CaseError
            When the change does not fit what stands.
        """
        now = self.now(key)
        if expected != now.seq:
            return self._again(key, command_id, expected, now)
        return self._made(key, command_id, now, change)

    def _made(self, key: str, command_id: str, now: Now, change: Change) -> Now:
        expected = now.seq
        after(now.board, change)
        kind, payload = entry(change, now.history)
        try:
            event = self._archive.append(key, expected, command_id, kind, payload, WHO, WHO, self._clock())
        except StaleCase as stale:
            raise Stale(self._read(key), stale.since) from None
        if event.seq != expected + 1:
            return self._read(key)
        history = now.history.after(event.seq, event.kind, event.payload)
        return self._keep(key, Now(event.seq, after(now.board, change), history))

    def open(self, sheet: CaseSheet, bench: Bench) -> str:
        """Open a new case, with the pattern its sheet plans laid on it; returns its key.

        A case outside the validity of every pattern is opened all the same, without a layout; its page says why.

        Raises
        ------
        CaseError
            When the sheet is impossible or plans a pattern there is not; nothing is stored then.
        """
        board = fold([Opened(sheet)])
        changes: list[Change] = [Opened(sheet)]
        with suppress(OutsideValidity):
            bench.prepared(sheet)
            if sheet.plan.pattern:
                changes.append(bench.decide(board, ChoosePattern(sheet.plan.pattern)))
        return self._stored(changes)

    def copy(self, key: str) -> str:
        """Open a case that holds what stands in case ``key``, its repair and its shelf; returns the new key.

        What was done to come there stays with the old one.
        """
        board = self.now(key).board
        identity = replace(board.sheet.identity, title=f"{board.sheet.identity.title or 'Untitled'}, copy")
        sheet = replace(board.sheet, identity=identity)
        on = replace(board.stand.laid_on or board.sheet, identity=identity)
        changes: list[Change] = [Opened(on if board.layout else sheet)]
        changes += [VersionKept(version) for version in board.stand.shelf]
        if board.layout:
            changes.append(LayoutEdited(board.layout, "repair copied"))
            changes += [SheetChanged(sheet, board.layout, "measures copied")] if on != sheet else []
        return self._stored(changes)

    def _stored(self, changes: Sequence[Change]) -> str:
        """Store the first changes of a new case; returns its key."""
        patient = fold(changes).sheet.identity.patient
        key = f"case-{secrets.token_hex(5)}"
        for seq, change in enumerate(changes):
            kind, payload = entry(change, History())
            self._archive.append(key, seq, self.fresh_id(), kind, payload, WHO, WHO, self._clock(), patient=patient)
        self._read(key)
        return key

    def events(self, key: str) -> list[Event]:
        """All events of case ``key``; raises UnknownCase."""
        self._line(key)
        return self._archive.events(key)

    def log(
        self, key: str, expected: int, command_id: str, entry: tuple[str, dict[str, Any]], role: str, at: datetime
    ) -> Event:
        """Add an entry of a log after event ``expected``, once; raises StaleCase when the case has moved on."""
        kind, payload = entry
        return self._archive.append(key, expected, command_id, kind, payload, WHO, role, at)

    def bundle(self, key: str) -> bytes:
        """The case as a file, with the patient's key; raises UnknownCase."""
        self._line(key)
        return self._archive.export_bundle(key, with_key=True)

    def clock(self) -> datetime:
        """The moment by this server's clock."""
        return self._clock()

    def opened(self, sheet: CaseSheet, bench: Bench) -> str:
        """The key of a case in the list that was opened with exactly this sheet; it is opened when there is none."""
        for line in self._archive.cases():
            if line.state == "open" and not line.archived and self.now(line.case).board.opened == sheet:
                return line.case
        return self.open(sheet, bench)

    def rows(self) -> list[Row]:
        """The case list, the last changed first."""
        return [self._row(line) for line in self._archive.cases()]

    def erased(self) -> set[str]:
        """The cases whose patient's key was destroyed."""
        return {line.case for line in self._archive.cases() if line.state == "erased"}

    def close(self) -> None:
        """Close the archive."""
        self._archive.close()

    @staticmethod
    def fresh_id() -> str:
        """A command id for what the server does by itself."""
        return secrets.token_hex(16)

    def _again(self, key: str, command_id: str, expected: int, now: Now) -> Now:
        events = self._archive.events(key)
        if any(event.id == command_id for event in events):
            return now
        raise Stale(now, [event for event in events if event.seq > expected])

    def _row(self, line: CaseLine) -> Row:
        board = None
        if line.state == "open":
            try:
                board = self.now(line.case).board
            except ArchiveError:
                board = None
        return Row(
            line.case,
            line.state if board or line.state != "open" else "damaged",
            line.title or "",
            line.patient or "",
            line.side or "",
            line.operation_date,
            board.layout.pattern if board and board.layout else None,
            bool(board and board.layout and board.layout.edited),
            line.updated_at,
            bool(board and board.sheet.identity.invented),
            line.archived,
            line.last_seq,
        )

    def _line(self, key: str) -> CaseLine:
        if not KEY.match(key):
            raise UnknownCase(key)
        try:
            return self._archive.line(key)
        except ArchiveError as wrong:
            if str(wrong).startswith("there is no case"):
                raise UnknownCase(key) from None
            raise

    def _read(self, key: str) -> Now:
        events = self._archive.events(key)
        board, history = board_of(events)
        return self._keep(key, Now(events[-1].seq, board, history))

    def _keep(self, key: str, now: Now) -> Now:
        with self._lock:
            self._seen[key] = now
        return now
