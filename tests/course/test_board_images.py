"""Images on the board: a reading fills its fields and can be taken back; whose the images are cannot."""

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.image_reading import ImageImport, ImageReading
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.course.board import Opened, Redone, Undone, after, fold
from cuffwright.course.imaging import ImagesTaken, ReadingTaken

SHEET = CaseSheet(Identity("P-1", "right"), Tear(Measurement(20.0, 1.0, "typed")))
TAKEN = ImagesTaken(ImageImport("import-1", 3, 3, "aa", "bb", ("x", None, None)))


def reading(path: str, value: Measurement | bool, name: str = "width") -> ReadingTaken:
    return ReadingTaken(ImageReading(name, "AP width", 14.0, 1.0, "mm", "1.2.3", 0, ((path, value),), "{}"))


def test_a_reading_fills_its_field_and_undo_empties_it_again() -> None:
    """Width and tangent sign stand in the sheet, the rest is untouched; undone the opened sheet stands again."""
    width = Measurement(14.0, 1.0, "image", "image a")
    board = fold([Opened(SHEET), reading("tear.width_mm", width), reading("muscle.tangent_positive", True, "tangent")])
    assert board.sheet.tear.width_mm == width
    assert board.sheet.muscle.tangent_positive is True
    assert board.sheet.bone == SHEET.bone
    assert board.opened == SHEET
    back = after(after(board, Undone()), Undone())
    assert (back.sheet, back.stand.readings) == (SHEET, ())
    assert after(after(back, Redone()), Redone()) == board


def test_a_later_reading_takes_the_place_of_the_earlier() -> None:
    """The same measure read twice is listed once, with the later value in the sheet."""
    first, second = (Measurement(mm, 1.0, "image") for mm in (14.0, 15.0))
    board = fold([Opened(SHEET), reading("tear.width_mm", first), reading("tear.width_mm", second)])
    assert len(board.stand.readings) == 1
    assert board.sheet.tear.width_mm == second


def test_an_import_stays_when_changes_are_undone() -> None:
    """Undo takes back the reading before it, never whose the images are."""
    board = fold([Opened(SHEET), reading("tear.width_mm", Measurement(14.0, 1.0, "image")), TAKEN])
    back = after(board, Undone())
    assert back.imports == (TAKEN.taken,)
    assert back.undo is None


@pytest.mark.parametrize("path", ["tear.wrong", "nothing.here", "tear", "format.x"])
def test_a_field_there_is_not_is_refused(path: str) -> None:
    """A path of no field names itself in the refusal."""
    with pytest.raises(CaseError, match=path):
        fold([Opened(SHEET), reading(path, True)])
