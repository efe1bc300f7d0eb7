"""Care after the operation as events of the store, and back."""

from collections.abc import Mapping
from typing import Any

from cuffwright.case.care import Care, ReleasedSheets
from cuffwright.course.caring import CareWritten, SheetsReleased
from cuffwright.exchange.plain import read_plain, to_plain

CARING = frozenset({"care.written", "sheets.released"})
"""The kinds under which such changes are stored."""


def caring_entry(change: CareWritten | SheetsReleased) -> tuple[str, dict[str, Any]]:
    """The kind and payload under which ``change`` is stored."""
    match change:
        case CareWritten(care, words):
            return "care.written", {"care": to_plain(care), "words": words}
        case SheetsReleased(sheets):
            return "sheets.released", {"sheets": to_plain(sheets)}


def caring_change(kind: str, payload: Mapping[str, Any]) -> CareWritten | SheetsReleased:
    """The change stored as ``kind`` with ``payload``; raises KeyError, TypeError or CaseError when it lacks a part."""
    if kind == "care.written":
        return CareWritten(read_plain(Care, payload["care"], "the record"), payload["words"])
    return SheetsReleased(read_plain(ReleasedSheets, payload["sheets"], "the released sheets"))


def caring_words(kind: str, payload: Mapping[str, Any]) -> str:
    """What happened, in one short phrase."""
    if kind == "care.written":
        return str(payload.get("words", ""))
    return f"sheets released by {payload.get('sheets', {}).get('release', {}).get('by', '')}"
