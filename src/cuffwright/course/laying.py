"""A repair and the tear it was laid on: which repair follows a new measure, and which stands on an older tear."""

from collections.abc import Callable
from dataclasses import dataclass

from cuffwright.case.errors import CuffError
from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board

Lay = Callable[[CaseSheet, str], Layout]
"""Lays a pattern by its name on a sheet."""


@dataclass(frozen=True)
class OlderRepair:
    """A repair whose pattern would come otherwise on the sheet that stands.

    ``laid_on`` is the sheet it was laid on, ``by_hand`` whether it was changed since, ``refused`` why its pattern
    cannot be laid on the sheet that stands ("" when it can).
    """

    pattern: str
    laid_on: CaseSheet
    by_hand: bool
    refused: str


def following(board: Board, sheet: CaseSheet, lay: Lay) -> Layout | None:
    """The repair that goes with ``sheet``, which is about to stand.

    A repair that still stands as its pattern was laid is laid anew. One that a hand has changed stays where it was put,
    and so does one whose pattern cannot be laid on ``sheet``.
    """
    layout = board.layout
    if layout is None:
        return None
    try:
        return lay(sheet, layout.pattern) if lay(board.sheet, layout.pattern) == layout else layout
    except CuffError:
        return layout


def older(board: Board, lay: Lay) -> OlderRepair | None:
    """The repair that stands, when its pattern would come otherwise on the sheet that stands; else None."""
    layout, on = board.layout, board.stand.laid_on
    if layout is None or on is None or on == board.sheet:
        return None
    then = _laid(lay, on, layout.pattern)
    try:
        now, refused = lay(board.sheet, layout.pattern), ""
    except CuffError as wrong:
        now, refused = None, str(wrong)
    if then is not None and then == now:
        return None
    return OlderRepair(layout.pattern, on, then != layout, refused)


def _laid(lay: Lay, sheet: CaseSheet, pattern: str) -> Layout | None:
    try:
        return lay(sheet, pattern)
    except CuffError:
        return None
