"""Entries of theatre and record as kinds and payloads of events, and back.

The payload is ``{"happened": moment, "entry": {...}}``: an entry made while the server was away keeps its own moment.
"""

from datetime import datetime
from typing import Any, cast

from cuffwright.case import entry as values
from cuffwright.case.entry import Entry, Kept
from cuffwright.case.errors import FormatError
from cuffwright.exchange.plain import read_plain, to_plain

KINDS: dict[str, type] = {
    "theatre.opened": values.TheatreOpened,
    "theatre.replanned": values.Replanned,
    "theatre.step-left": values.StepLeft,
    "theatre.finding": values.Finding,
    "theatre.remeasured": values.Remeasured,
    "theatre.implant-entered": values.ImplantEntered,
    "theatre.implant-wasted": values.ImplantWasted,
    "theatre.implant-removed": values.ImplantRemoved,
    "theatre.mishap": values.MishapEntered,
    "theatre.deviation": values.Deviation,
    "theatre.affirmed": values.Affirmed,
    "theatre.withdrawn": values.Withdrawn,
    "theatre.strength": values.StrengthKept,
    "record.stated": values.Stated,
    "record.coded": values.Coded,
    "record.signed": values.Signed,
    "record.addendum": values.Addendum,
}
"""Each kind of event and what it holds."""

NAMES = {kind: name for name, kind in KINDS.items()}


def entry_to_plain(entry: Entry, happened: datetime) -> tuple[str, dict[str, Any]]:
    """The kind and payload under which ``entry`` is kept."""
    return NAMES[type(entry)], {"happened": happened.isoformat(), "entry": to_plain(entry)}


def entry_from_plain(kind: str, plain: dict[str, Any]) -> Entry:
    """Read an entry of ``kind``; raises FormatError on an unknown kind, CaseError naming the first wrong field."""
    if kind not in KINDS:
        raise FormatError(f"there is no entry of the kind {kind[:40]!r}; update the program")
    return cast("Entry", read_plain(KINDS[kind], plain, kind))


def kept(seq: int, at: datetime, role: str, kind: str, payload: dict[str, Any], digest: str) -> Kept | None:
    """The entry that an event holds, or None when the event is no entry.

    Raises
    ------
    FormatError, CaseError
        When the event claims to be an entry and cannot be read as one.
    """
    if not kind.startswith(("theatre.", "record.")):
        return None
    plain, moment = payload.get("entry"), payload.get("happened")
    try:
        happened = datetime.fromisoformat(str(moment))
    except ValueError:
        happened = None
    if not isinstance(plain, dict) or happened is None or happened.tzinfo is None:
        raise FormatError(f"event {seq} is a {kind} without its entry or its moment; restore the case from a backup")
    return Kept(seq, at, happened, role, entry_from_plain(kind, plain), digest)
