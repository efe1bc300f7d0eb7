"""The board: a pure fold of changes with a way back."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.course.board import (
    AnchorPlaced,
    Board,
    BringBack,
    ChoosePattern,
    Command,
    MoveAnchor,
    MoveHole,
    Opened,
    PatternLaid,
    PutAway,
    Redo,
    Redone,
    Undo,
    Undone,
    after,
    decide,
    fold,
)

SHEET = CaseSheet(Identity("P-1", "right"), Tear(Measurement(20.0, 1.0, "typed")))


def layout(pattern: str) -> Layout:
    shift = float(len(pattern))
    anchors = (Anchor("1", "medial", 4.0 + shift, 3.0, 0.0, "a"), Anchor("2", "medial", 14.0 + shift, 3.0, 0.0, "a"))
    holes = (Hole("1aF", 3.0, 1.0), Hole("1aB", 5.0, 1.0))
    return Layout(pattern, anchors, holes, (Stitch("mattress", "1", ("1aF", "1aB"), 0),))


def seat(anchor: Anchor, u: float, v: float) -> Anchor:
    return replace(anchor, u=u, v=v, z=-v / 2)


def do(board: Board, command: Command) -> Board:
    return after(board, decide(board, command, layout, seat))


def test_moving_an_anchor_seats_it_and_leaves_the_rest_alone() -> None:
    """A move changes one anchor, its height included, and nothing else."""
    board = do(do(fold([Opened(SHEET)]), ChoosePattern("ab")), MoveAnchor("1", 7.0, 2.0))
    assert board.layout is not None
    assert board.layout.anchor("1") == Anchor("1", "medial", 7.0, 2.0, -1.0, "a")
    assert board.layout.anchor("2") == layout("ab").anchor("2")
    assert board.layout.holes == layout("ab").holes
    assert board.undo == "anchor 1 moved"


def test_undo_returns_what_stood_and_redo_what_was_taken_back() -> None:
    """Undo to before the first pattern and redo to the end give the same boards both ways."""
    stages = [fold([Opened(SHEET)])]
    for command in (ChoosePattern("ab"), MoveHole("1aF", 2.0, 2.0), ChoosePattern("abc")):
        stages.append(do(stages[-1], command))
    board = stages[-1]
    for stage in reversed(stages[:-1]):
        board = do(board, Undo())
        assert board.layout == stage.layout
    for stage in stages[1:]:
        board = do(board, Redo())
        assert board.layout == stage.layout
    assert board == stages[-1]


def test_a_new_change_closes_the_way_forth() -> None:
    """After undo, a fresh change leaves nothing to redo."""
    board = do(do(do(fold([Opened(SHEET)]), ChoosePattern("ab")), Undo()), ChoosePattern("abc"))
    assert board.redo is None
    with pytest.raises(CaseError, match="nothing to redo"):
        do(board, Redo())


def test_the_archive_hides_a_case_and_gives_it_back_without_touching_the_layout() -> None:
    """Archiving and restoring keep the layout, and undo takes an archiving back like any other change."""
    board = do(fold([Opened(SHEET)]), ChoosePattern("ab"))
    away = do(board, PutAway())
    assert away.archived
    assert do(away, BringBack()).stand == board.stand
    assert do(away, Undo()).stand == board.stand


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ([], "never opened"),
        ([PatternLaid(layout("ab"))], "never opened"),
        ([Opened(SHEET), Opened(SHEET)], "second time"),
        ([Opened(SHEET), Undone()], "nothing to undo"),
        ([Opened(SHEET), Redone()], "nothing to redo"),
        ([Opened(SHEET), AnchorPlaced(layout("ab").anchors[0])], "no pattern is chosen"),
    ],
)
def test_changes_that_do_not_fit_are_refused(changes: list, sentence: str) -> None:
    """A broken course of changes is refused in a sentence, never repaired silently."""
    with pytest.raises(CaseError, match=sentence):
        fold(changes)


def test_a_command_that_names_what_is_not_there_makes_no_change() -> None:
    """An unknown anchor or limb is refused before a change exists."""
    board = do(fold([Opened(SHEET)]), ChoosePattern("ab"))
    for command in (MoveAnchor("9", 1.0, 1.0), MoveHole("9zF", 1.0, 1.0)):
        with pytest.raises(CaseError, match="in this layout"):
            decide(board, command, layout, seat)


COMMANDS = st.lists(
    st.one_of(
        st.builds(ChoosePattern, st.sampled_from(["ab", "abc"])),
        st.builds(MoveAnchor, st.sampled_from(["1", "2"]), st.floats(0, 20), st.floats(0, 10)),
        st.builds(MoveHole, st.sampled_from(["1aF", "1aB"]), st.floats(0, 20), st.floats(0, 10)),
        st.just(Undo()),
        st.just(Redo()),
        st.just(PutAway()),
    ),
    max_size=12,
)


@settings(max_examples=40, deadline=None)
@given(COMMANDS)
def test_folding_the_changes_again_gives_the_same_board(commands: list[Command]) -> None:
    """What was decided one by one folds to the same board, and undoing all of it ends with no layout."""
    changes: list = [Opened(SHEET)]
    board = fold(changes)
    for command in commands:
        try:
            change = decide(board, command, layout, seat)
        except CaseError:
            continue
        changes.append(change)
        board = after(board, change)
    assert fold(changes) == board
    while board.past:
        board = after(board, Undone())
    assert board.stand == fold([Opened(SHEET)]).stand
