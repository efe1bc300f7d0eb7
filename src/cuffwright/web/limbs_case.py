"""The desk that plans the limbs of the case on the table, from its layout and what its portals reach."""

from pathlib import Path

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.layout import Layout
from cuffwright.course.board import Board
from cuffwright.course.limbs import lay_limbs
from cuffwright.course.prepared import prepare
from cuffwright.exchange.minutes_log import read_minutes
from cuffwright.limbs.counts import Minutes, calibrated
from cuffwright.limbs.mishaps import mishap
from cuffwright.web.limbs_desk import LimbsDesk, Opening

LOG = "minutes.csv"
"""The site's own log of operations, in the folder of the cases."""


def case_desk(book: FactBook, data: Path | None = None) -> LimbsDesk:
    """A desk over real cases; minutes come from the site's log in the folder ``data`` once there is one."""

    def opens(board: Board, portals: str) -> Opening:
        """The field of what stands on the table, arm and portals as set there."""
        layout = _laid(board)
        laid = lay_limbs(prepare(board.sheet, book, plain=True), layout, board.stand.approach, portals)
        return Opening(laid.field, laid.state, laid.arm, _minutes(book, data), layout.pattern, laid.portal_set)

    return LimbsDesk(opens, mishap, lambda: _stamp(data))


def _minutes(book: FactBook, data: Path | None) -> Minutes:
    """Minutes of each kind of move by the site's log, or what is missing."""
    if data is None or not (data / LOG).is_file():
        return Minutes(needs=f"minutes logged at this site: {LOG} in the folder of the cases")
    try:
        return calibrated(read_minutes(data / LOG), round(Citing(book).number("limbs.setting.operations")))
    except FormatError as wrong:
        return Minutes(needs=f"a log that can be read: {wrong}")


def _stamp(data: Path | None) -> object:
    """What changes when the log does."""
    try:
        return (data / LOG).stat().st_mtime_ns if data else None
    except OSError:
        return None


def _laid(board: Board) -> Layout:
    if board.layout is None:
        raise CaseError("no pattern is chosen yet, so there are no limbs; choose a pattern under Repair")
    return board.layout
