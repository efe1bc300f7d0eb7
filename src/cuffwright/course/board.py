"""One case on the table: every change that was made, folded into what stands now, with its way back.

A *command* is what a hand asks for; :func:`decide` turns it into a *change*, which holds the whole outcome, so that
folding changes again never recomputes anything. Undo puts back what stood before a change; it is a change itself.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import reduce
from typing import Any

from cuffwright.case.errors import CaseError
from cuffwright.case.image_reading import ImageImport
from cuffwright.case.layout import Anchor, Hole, Layout
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.arming import ArmSet, MovePortal, PortalPlaced, SetArm, with_portal
from cuffwright.course.caring import CareWritten, ReleaseSheets, SheetsReleased, WriteCare, cared
from cuffwright.course.imaging import ImagesDropped, ImagesTaken, ReadingTaken, filled, with_reading, without_pictures
from cuffwright.course.measuring import ChangeSheet, SheetChanged
from cuffwright.course.shelf import (
    DropVersion,
    EditLayout,
    KeepVersion,
    LayoutEdited,
    TakeVersion,
    Version,
    VersionDropped,
    VersionKept,
    dropped,
    found,
    kept,
)
from cuffwright.course.stand import Stand, Step


@dataclass(frozen=True)
class ChoosePattern:
    """Lay the pattern called ``name`` anew."""

    name: str


@dataclass(frozen=True)
class MoveAnchor:
    """Put the anchor called ``name`` at chart ``u``, ``v`` (mm)."""

    name: str
    u: float
    v: float


@dataclass(frozen=True)
class MoveHole:
    """Pass the limb called ``name`` at chart ``u``, ``v`` (mm)."""

    name: str
    u: float
    v: float


@dataclass(frozen=True)
class Undo:
    """Take the last change back."""


@dataclass(frozen=True)
class Redo:
    """Make the change that was last taken back again."""


@dataclass(frozen=True)
class PutAway:
    """Archive the case."""


@dataclass(frozen=True)
class BringBack:
    """Return an archived case to the list."""


Command = (
    ChoosePattern
    | MoveAnchor
    | MoveHole
    | EditLayout
    | ChangeSheet
    | KeepVersion
    | DropVersion
    | TakeVersion
    | SetArm
    | MovePortal
    | WriteCare
    | ReleaseSheets
    | Undo
    | Redo
    | PutAway
    | BringBack
)
"""What a hand asks for."""


@dataclass(frozen=True)
class Opened:
    """The case was opened with this sheet."""

    sheet: CaseSheet


@dataclass(frozen=True)
class PatternLaid:
    """A pattern was laid; ``layout`` is what it gave."""

    layout: Layout


@dataclass(frozen=True)
class AnchorPlaced:
    """An anchor came to stand here."""

    anchor: Anchor


@dataclass(frozen=True)
class HolePlaced:
    """A limb came to pass here."""

    hole: Hole


@dataclass(frozen=True)
class Undone:
    """The last change was taken back."""


@dataclass(frozen=True)
class Redone:
    """A change taken back was made again."""


@dataclass(frozen=True)
class ArchivedCase:
    """The case was archived."""


@dataclass(frozen=True)
class RestoredCase:
    """The case came back from the archive."""


Change = (
    Opened
    | PatternLaid
    | AnchorPlaced
    | HolePlaced
    | ArmSet
    | PortalPlaced
    | ImagesTaken
    | ImagesDropped
    | ReadingTaken
    | SheetChanged
    | LayoutEdited
    | VersionKept
    | VersionDropped
    | CareWritten
    | SheetsReleased
    | Undone
    | Redone
    | ArchivedCase
    | RestoredCase
)
"""What was done, whole."""


@dataclass(frozen=True)
class Board:
    """What stands now: the sheet, the layout, whether it is archived, and the way back and forth.

    ``opened`` is the sheet the case was opened with, ``imports`` are the images taken in, which undo leaves alone.
    """

    opened: CaseSheet
    stand: Stand = field(default_factory=Stand)
    past: tuple[Step, ...] = ()
    future: tuple[Step, ...] = ()
    imports: tuple[ImageImport, ...] = ()

    @property
    def sheet(self) -> CaseSheet:
        """The sheet that stands: as opened, with what was written into it or read off images since."""
        return self.stand.sheet or self.opened

    @property
    def layout(self) -> Layout | None:
        """The layout that stands; None before a pattern is chosen."""
        return self.stand.layout

    @property
    def archived(self) -> bool:
        """Whether the case is archived."""
        return self.stand.archived

    @property
    def undo(self) -> str | None:
        """What undo would take back, in words; None when there is nothing."""
        return self.past[-1].words if self.past else None

    @property
    def redo(self) -> str | None:
        """What redo would make again, in words; None when there is nothing."""
        return self.future[-1].words if self.future else None


def fold(changes: Iterable[Change]) -> Board:
    """What stands after all ``changes``.

    Raises
    ------
    CaseError
        When there are none, the first does not open the case, or one does not fit what stood before it.
    """
    course = list(changes)
    if not course or not isinstance(course[0], Opened):
        raise CaseError("the case was never opened, so there is nothing to show; open it from a case file")
    return reduce(after, course[1:], Board(course[0].sheet))


def after(board: Board, change: Change) -> Board:
    """What stands once ``change`` is made; raises CaseError when it does not fit what stands."""
    match change:
        case PatternLaid(layout):
            return _stepped(board, f"pattern {layout.pattern}", layout=layout, laid_on=board.sheet)
        case AnchorPlaced(anchor):
            return _stepped(board, f"anchor {anchor.name} moved", layout=laid(board).with_anchor(anchor))
        case HolePlaced(hole):
            return _stepped(board, f"limb {hole.name} moved", layout=laid(board).with_hole(hole))
        case ArmSet(pose):
            return _stepped(board, "arm set", arm=pose)
        case PortalPlaced(place):
            return _stepped(board, f"{place.name} portal moved", portals=with_portal(board.stand.portals, place))
        case ImagesTaken() | ImagesDropped() | ReadingTaken():
            return _imaged(board, change)
        case SheetChanged() | LayoutEdited() | VersionKept() | VersionDropped():
            return _rewritten(board, change)
        case CareWritten(care, words):
            return _stepped(board, words, care=care)
        case SheetsReleased(sheets):
            return _stepped(board, f"sheets released by {sheets.release.by}", released=sheets)
        case Undone() | Redone():
            return _undone(board) if isinstance(change, Undone) else _redone(board)
        case ArchivedCase() | RestoredCase():
            away = isinstance(change, ArchivedCase)
            return _stepped(board, "case archived" if away else "case brought back", archived=away)
        case _:
            raise CaseError("the case is opened a second time; open it once and then change it")


def decide(
    board: Board,
    command: Command,
    lay: Callable[[str], Layout],
    seat: Callable[[Anchor, float, float], Anchor],
) -> Change:
    """Turn a command into the change it makes.

    Parameters
    ----------
    board
        What stands now.
    command
        What is asked for.
    lay
        Lays a pattern by its name on this case.
    seat
        Seats an anchor in the bone at chart ``u``, ``v`` (mm).

    Raises
    ------
    CaseError
        When the command names what is not there, or there is nothing to take back or make again.
    """
    change = _change(board, command, lay, seat)
    after(board, change)
    return change


def laid(board: Board) -> Layout:
    """The layout that stands; raises CaseError when no pattern is chosen yet."""
    if board.layout is None:
        raise CaseError("no pattern is chosen yet, so nothing can be moved; choose a pattern first")
    return board.layout


def _change(
    board: Board,
    command: Command,
    lay: Callable[[str], Layout],
    seat: Callable[[Anchor, float, float], Anchor],
) -> Change:
    match command:
        case ChoosePattern(name):
            return PatternLaid(lay(name))
        case MoveAnchor(name, u, v):
            return AnchorPlaced(seat(laid(board).anchor(name), u, v))
        case MoveHole(name, u, v):
            return HolePlaced(replace(laid(board).hole(name), u=u, v=v))
        case EditLayout() | ChangeSheet() | KeepVersion() | DropVersion() | TakeVersion():
            return _rewriting(board, command)
        case SetArm(pose):
            return ArmSet(pose)
        case MovePortal(place):
            return PortalPlaced(place)
        case WriteCare() | ReleaseSheets():
            return cared(command)
        case Undo():
            return Undone()
        case Redo():
            return Redone()
        case PutAway():
            return ArchivedCase()
        case BringBack():
            return RestoredCase()


def _rewriting(
    board: Board, command: EditLayout | ChangeSheet | KeepVersion | DropVersion | TakeVersion
) -> SheetChanged | LayoutEdited | VersionKept | VersionDropped:
    match command:
        case EditLayout(layout, words):
            laid(board)
            return LayoutEdited(layout, words)
        case ChangeSheet(sheet, laid_on, words):
            return SheetChanged(sheet, laid_on, words)
        case KeepVersion(name):
            return VersionKept(Version(name, laid(board)))
        case DropVersion(name):
            return VersionDropped(name)
        case TakeVersion(name):
            return LayoutEdited(found(board.stand.shelf, name).layout, f"{name} taken")


def _rewritten(board: Board, change: SheetChanged | LayoutEdited | VersionKept | VersionDropped) -> Board:
    match change:
        case SheetChanged(sheet, layout, words):
            on = board.stand.laid_on if layout == board.layout else sheet
            return _stepped(board, words, sheet=sheet, layout=layout, laid_on=on)
        case LayoutEdited(layout, words):
            return _stepped(board, words, layout=layout, laid_on=_laid_on(board, layout))
        case VersionKept(version):
            whole = replace(version, laid_on=board.stand.laid_on)
            return _stepped(board, f"{version.name} kept", shelf=kept(board.stand.shelf, whole))
        case VersionDropped(name):
            return _stepped(board, f"{name} off the shelf", shelf=dropped(board.stand.shelf, name))


def _laid_on(board: Board, layout: Layout) -> CaseSheet | None:
    """The sheet ``layout`` was laid on: that of its version on the shelf, else that of the repair it was made from."""
    if board.layout is None:
        return board.sheet
    version = next((one for one in board.stand.shelf if one.layout == layout), None)
    return version.laid_on if version else board.stand.laid_on


def _stepped(board: Board, words: str, **changed: Any) -> Board:
    stand = replace(board.stand, **changed)
    return replace(board, stand=stand, past=(*board.past, Step(words, board.stand, stand)), future=())


def _imaged(board: Board, change: ImagesTaken | ImagesDropped | ReadingTaken) -> Board:
    match change:
        case ImagesTaken(taken):
            return replace(board, imports=(*board.imports, taken), future=())
        case ImagesDropped(gone):
            return replace(board, imports=without_pictures(board.imports, gone), future=())
        case ReadingTaken(reading, layout):
            changed: dict[str, Any] = {
                "sheet": filled(board.sheet, reading),
                "readings": with_reading(board.stand.readings, reading),
            }
            if layout is None:
                return _stepped(board, f"reading: {reading.title}", **changed)
            changed |= {"layout": layout, "laid_on": changed["sheet"]}
            return _stepped(board, f"reading: {reading.title}, repair laid anew", **changed)


def _undone(board: Board) -> Board:
    if not board.past:
        raise CaseError("there is nothing to undo in this case")
    *past, step = board.past
    return replace(board, stand=step.before, past=tuple(past), future=(*board.future, step))


def _redone(board: Board) -> Board:
    if not board.future:
        raise CaseError("there is nothing to redo in this case")
    *future, step = board.future
    return replace(board, stand=step.after, past=(*board.past, step), future=tuple(future))
