"""Changes of the sheet, of a whole layout and of the shelf as events of the store, and back."""

from collections.abc import Mapping
from typing import Any

from cuffwright.course.measuring import SheetChanged
from cuffwright.course.shelf import LayoutEdited, Version, VersionDropped, VersionKept
from cuffwright.exchange.plain import layout_from_plain, layout_to_plain, sheet_from_plain, sheet_to_plain

Rewriting = SheetChanged | LayoutEdited | VersionKept | VersionDropped

REWRITING = frozenset({"case.changed", "layout.edited", "version.kept", "version.dropped"})
"""The kinds under which such changes are stored."""


def rewriting_entry(change: Rewriting) -> tuple[str, dict[str, Any]]:
    """The kind and payload under which ``change`` is stored."""
    match change:
        case SheetChanged(sheet, laid, words):
            layout = layout_to_plain(laid) if laid else None
            return "case.changed", {"sheet": sheet_to_plain(sheet), "layout": layout, "words": words}
        case LayoutEdited(layout, words):
            return "layout.edited", {"layout": layout_to_plain(layout), "words": words}
        case VersionKept(version):
            return "version.kept", {"name": version.name, "layout": layout_to_plain(version.layout)}
        case VersionDropped(name):
            return "version.dropped", {"name": name}


def rewriting_change(kind: str, payload: Mapping[str, Any]) -> Rewriting:
    """The change stored as ``kind`` with ``payload``; raises KeyError, TypeError or CaseError when it lacks a part."""
    if kind == "case.changed":
        laid = payload["layout"]
        layout = layout_from_plain(laid) if laid else None
        return SheetChanged(sheet_from_plain(payload["sheet"]), layout, payload["words"])
    if kind == "layout.edited":
        return LayoutEdited(layout_from_plain(payload["layout"]), payload["words"])
    if kind == "version.kept":
        return VersionKept(Version(payload["name"], layout_from_plain(payload["layout"])))
    return VersionDropped(payload["name"])


def rewriting_words(kind: str, payload: Mapping[str, Any]) -> str:
    """What happened, in one short phrase."""
    if kind == "version.kept":
        return f"{payload.get('name', '')} kept"
    if kind == "version.dropped":
        return f"{payload.get('name', '')} off the shelf"
    return str(payload.get("words", ""))
