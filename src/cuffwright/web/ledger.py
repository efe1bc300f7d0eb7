"""Changes of the board as events of the store, and back."""

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Any

from cuffwright.archive import Event, History
from cuffwright.archive.undo import LOGGED, UNDO
from cuffwright.case.errors import ArchiveError
from cuffwright.case.image_reading import ImageImport, ImageReading
from cuffwright.case.layout import Anchor, Hole
from cuffwright.case.reach import PortalPlace, Pose
from cuffwright.course.arming import ArmSet, PortalPlaced
from cuffwright.course.board import (
    AnchorPlaced,
    ArchivedCase,
    Board,
    Change,
    HolePlaced,
    Opened,
    PatternLaid,
    Redone,
    RestoredCase,
    Undone,
    fold,
)
from cuffwright.course.caring import CareWritten, SheetsReleased
from cuffwright.course.imaging import ImagesDropped, ImagesTaken, ReadingTaken
from cuffwright.course.measuring import SheetChanged
from cuffwright.course.shelf import LayoutEdited, VersionDropped, VersionKept
from cuffwright.exchange.plain import layout_from_plain, layout_to_plain, read_plain, sheet_from_plain, sheet_to_plain
from cuffwright.web.ledger_caring import CARING, caring_change, caring_entry, caring_words
from cuffwright.web.ledger_rewriting import REWRITING, rewriting_change, rewriting_entry, rewriting_words

WHOLE: dict[type, tuple[str, str]] = {
    AnchorPlaced: ("anchor.placed", "anchor"),
    HolePlaced: ("hole.placed", "hole"),
    ArmSet: ("arm.set", "pose"),
    PortalPlaced: ("portal.placed", "place"),
    ImagesTaken: ("images.taken", "taken"),
}
"""Changes that are stored as the one value they hold: their kind, and where the value stands."""


def entry(change: Change, history: History) -> tuple[str, dict[str, Any]]:
    """The kind and payload under which ``change`` is stored after ``history``."""
    match change:
        case Opened(sheet):
            return "case.opened", {"sheet": sheet_to_plain(sheet)}
        case PatternLaid(layout):
            return "pattern.laid", {"layout": layout_to_plain(layout)}
        case ImagesDropped(gone):
            return "images.dropped", {"id": gone}
        case ReadingTaken(reading, laid):
            return "reading.taken", asdict(reading) | ({"layout": layout_to_plain(laid)} if laid else {})
        case SheetChanged() | LayoutEdited() | VersionKept() | VersionDropped():
            return rewriting_entry(change)
        case CareWritten() | SheetsReleased():
            return caring_entry(change)
        case Undone() | Redone():
            return UNDO, {"undoes": history.undo if isinstance(change, Undone) else history.redo}
        case ArchivedCase() | RestoredCase():
            return "case.archived", {"archived": isinstance(change, ArchivedCase)}
        case _:
            kind, part = WHOLE[type(change)]
            return kind, asdict(getattr(change, part))


def board_of(events: Iterable[Event]) -> tuple[Board, History]:
    """What stands after ``events`` of one case, and what can be undone; raises ArchiveError on an unknown kind."""
    history = History()
    changes: list[Change] = []
    for event in events:
        if not event.kind.startswith(LOGGED):
            changes.append(_change(event, history))
        history = history.after(event.seq, event.kind, event.payload)
    return fold(changes), history


def words_of(events: Iterable[Event]) -> Iterator[str]:
    """What happened, one short phrase an event: for a client that has not seen it."""
    for event in events:
        match event.kind:
            case "pattern.laid":
                yield f"pattern {event.payload.get('layout', {}).get('pattern', '')} laid"
            case "anchor.placed":
                yield f"anchor {event.payload.get('name', '')} moved"
            case "hole.placed":
                yield f"limb {event.payload.get('name', '')} moved"
            case "arm.set":
                yield "arm set"
            case "portal.placed":
                yield f"{event.payload.get('name', '')} portal moved"
            case "reading.taken":
                yield f"reading: {event.payload.get('title', '')}"
            case kind if kind in REWRITING:
                yield rewriting_words(kind, event.payload)
            case kind if kind in CARING:
                yield caring_words(kind, event.payload)
            case "undo":
                yield "a change undone or redone"
            case kind:
                yield kind.replace(".", " ")


def _change(event: Event, history: History) -> Change:
    payload = event.payload
    try:
        match event.kind:
            case "case.opened":
                return Opened(sheet_from_plain(payload["sheet"]))
            case "pattern.laid":
                return PatternLaid(layout_from_plain(payload["layout"]))
            case "anchor.placed":
                return AnchorPlaced(Anchor(**payload))
            case "hole.placed":
                return HolePlaced(Hole(**payload))
            case "arm.set":
                return ArmSet(Pose(**payload))
            case "portal.placed":
                return PortalPlaced(PortalPlace(**payload))
            case "images.taken" | "images.dropped" | "reading.taken":
                return _imaged(event.kind, payload)
            case kind if kind in REWRITING | CARING:
                return rewriting_change(kind, payload) if kind in REWRITING else caring_change(kind, payload)
            case "undo":
                return Undone() if payload["undoes"] == history.undo else Redone()
            case "case.archived":
                return ArchivedCase() if payload["archived"] else RestoredCase()
    except (KeyError, TypeError):
        raise ArchiveError(
            f"event {event.seq} of case {event.case} lacks what {event.kind} needs; restore the archive from a backup"
        ) from None
    raise ArchiveError(
        f"event {event.seq} of case {event.case} is a {event.kind}, unknown to this release; update the program"
    )


def _imaged(kind: str, payload: dict[str, Any]) -> Change:
    if kind == "images.taken":
        return ImagesTaken(read_plain(ImageImport, payload, "the import"))
    if kind == "images.dropped":
        return ImagesDropped(payload["id"])
    plain = {name: value for name, value in payload.items() if name != "layout"}
    laid = layout_from_plain(payload["layout"]) if "layout" in payload else None
    return ReadingTaken(read_plain(ImageReading, plain, "the reading"), laid)
