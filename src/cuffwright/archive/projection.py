"""The list of cases, folded one event at a time; a fold from the first event gives the same.

Of an event's meaning the store knows only what stands in the list: title, patient, side and operation date
from ``case.opened`` and ``case.changed``, and the flag from ``case.archived``.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Literal

from cuffwright.archive.canonical import canonical, parsed
from cuffwright.archive.event import Event
from cuffwright.archive.undo import History
from cuffwright.case.errors import ArchiveError

SHEET = frozenset({"case.opened", "case.changed"})
SHELVED = "case.archived"
SHOWN = ("title", "patient", "side", "operation_date")

CaseState = Literal["open", "erased", "locked", "damaged"]
"""Readable; its key destroyed; its key not here; its chain broken."""


@dataclass(frozen=True)
class CaseLine:
    """One line of the list of cases.

    ``title``, ``patient``, ``side`` and ``operation_date`` (ISO text) are None where not given or not readable.
    ``last_seq`` is the number the next command must expect; ``undo`` and ``redo`` are what an ``undo`` event
    would name in ``undoes`` next, or None.
    """

    case: str
    state: CaseState
    title: str | None
    patient: str | None
    side: str | None
    operation_date: str | None
    archived: bool
    updated_at: datetime
    last_seq: int
    undo: int | None
    redo: int | None


@dataclass(frozen=True)
class Standing:
    """What the list keeps of a case: the shown fields by the event that set them, and the undo history."""

    changes: tuple[tuple[int, Mapping[str, Any]], ...] = ()
    history: History = field(default_factory=History)

    def after(self, event: Event) -> "Standing":
        """The standing once ``event`` is added; raises ArchiveError for an undo of the wrong event."""
        history = self.history.after(event.seq, event.kind, event.payload)
        change = shown(event.kind, event.payload)
        changes = (*self.changes, (event.seq, change)) if change else self.changes
        return replace(self, changes=changes, history=history)

    def now(self) -> dict[str, Any]:
        """The shown fields in force."""
        merged: dict[str, Any] = {}
        for seq, change in self.changes:
            if seq not in self.history.struck:
                merged |= change
        return merged

    def written(self) -> bytes:
        """The standing as canonical JSON, to be locked."""
        past = self.history
        return canonical(
            {"changes": self.changes, "done": past.done, "undone": past.undone, "struck": sorted(past.struck)}
        )

    @staticmethod
    def read(text: bytes) -> "Standing":
        """Read what :meth:`written` wrote; raises ArchiveError otherwise."""
        found = parsed(text, "a line of the list of cases")
        try:
            return Standing(
                tuple((int(seq), dict(change)) for seq, change in found["changes"]),
                History(tuple(found["done"]), tuple((a, b) for a, b in found["undone"]), frozenset(found["struck"])),
            )
        except (KeyError, TypeError, ValueError):
            raise ArchiveError("a line of the list of cases cannot be read; rebuild the list") from None


def standing_of(events: Iterable[Event]) -> Standing:
    """Fold the standing from the first event on; raises ArchiveError for an undo of the wrong event."""
    standing = Standing()
    for event in events:
        standing = standing.after(event)
    return standing


def shown(kind: str, payload: Mapping[str, Any]) -> dict[str, Any]:
    """The shown fields that an event sets.

    They are looked for in the payload itself, in its ``sheet``, and in the ``identity`` of either. An identity
    that names its patient is whole: what it leaves out is cleared. Otherwise what is left out stays.
    """
    if kind == SHELVED:
        return {"archived": payload.get("archived", True) is not False}
    if kind not in SHEET:
        return {}
    sheet = payload.get("sheet")
    tables = [payload] if not isinstance(sheet, Mapping) else [sheet, payload]
    found: dict[str, Any] = {}
    for table in tables:
        identity = table.get("identity")
        if isinstance(identity, Mapping):
            whole = isinstance(identity.get("patient"), str)
            found |= {name: None for name in SHOWN if whole and name != "title"} | _texts(identity)
        found |= _texts(table)
    return found


def _texts(table: Mapping[str, Any]) -> dict[str, Any]:
    given = {name: table[name] for name in SHOWN if name in table}
    return {name: value for name, value in given.items() if value is None or isinstance(value, str)}
