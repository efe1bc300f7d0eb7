"""A repair and the tear it was laid on: what follows a new measure, what is told to be older."""

from dataclasses import replace

import pytest

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Anchor, Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.course.board import AnchorPlaced, Board, Opened, PatternLaid, Undone, after, fold
from cuffwright.course.laying import following, older
from cuffwright.course.measuring import SheetChanged
from cuffwright.course.shelf import LayoutEdited, Version, VersionKept

WIDEST = 30.0


def sheet(width: float, thickness: float | None = None) -> CaseSheet:
    thick = Measurement(thickness, 1.0, "typed") if thickness else None
    return CaseSheet(Identity("P-1", "right"), Tear(Measurement(width, 1.0, "typed"), thickness_mm=thick))


def lay(on: CaseSheet, name: str) -> Layout:
    """One anchor in the middle of the tear."""
    if on.tear.width_mm.value > WIDEST:
        raise OutsideValidity("the tear is wider than this pattern covers")
    return Layout(name, (Anchor("1", "medial", on.tear.width_mm.value / 2, 2.0, 0.0, "x"),), (), ())


def by_hand(board: Board) -> Board:
    return after(board, AnchorPlaced(replace(board.layout.anchors[0], u=1.0)))


START = fold([Opened(sheet(20.0)), PatternLaid(lay(sheet(20.0), "p"))])


def test_an_untouched_repair_follows_and_is_never_older() -> None:
    """Laid on 20 mm it follows to 24; on a tear its pattern does not cover it stays, and the reason is told."""
    assert following(START, sheet(24.0), lay) == lay(sheet(24.0), "p")
    followed = after(START, SheetChanged(sheet(24.0), following(START, sheet(24.0), lay), "width set"))
    assert older(followed, lay) is None
    stayed = after(followed, SheetChanged(sheet(40.0), following(followed, sheet(40.0), lay), "width set"))
    assert stayed.layout == followed.layout
    assert (older(stayed, lay).refused, older(stayed, lay).laid_on) == (
        "the tear is wider than this pattern covers",
        sheet(24.0),
    )


def test_a_measure_the_pattern_does_not_ask_for_makes_nothing_older() -> None:
    """Moved by hand and then given a thickness: the pattern would come the same, so nothing is told."""
    board = by_hand(START)
    assert older(after(board, SheetChanged(sheet(20.0, 5.0), board.layout, "thickness set")), lay) is None


@pytest.mark.req("REQ-211")
def test_a_version_taken_down_is_as_old_as_when_it_was_kept() -> None:
    """Kept on 20 mm, laid anew on 24, taken down again: it is told to be of 20 mm; undone nothing is."""
    kept = after(by_hand(START), VersionKept(Version("first", by_hand(START).layout)))
    wide = after(kept, SheetChanged(sheet(24.0), kept.layout, "width set"))
    assert older(wide, lay).by_hand
    anew = after(wide, PatternLaid(lay(sheet(24.0), "p")))
    assert older(anew, lay) is None
    taken = after(anew, LayoutEdited(anew.stand.shelf[0].layout, "first taken"))
    assert older(taken, lay).laid_on == sheet(20.0)
    assert older(after(taken, Undone()), lay) is None
