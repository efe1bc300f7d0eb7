"""The desk that plans the limbs of the case on the table, from its layout and what its portals reach."""

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import FactBook
from cuffwright.case.layout import Layout
from cuffwright.course.board import Board
from cuffwright.course.limbs import lay_limbs
from cuffwright.course.prepared import prepare
from cuffwright.limbs.mishaps import mishap
from cuffwright.limbs.planning import NO_LOG
from cuffwright.web.limbs_desk import LimbsDesk, Opening


def case_desk(book: FactBook) -> LimbsDesk:
    """A desk over real cases."""

    def opens(board: Board) -> Opening:
        """The field of what stands on the table, arm and portals as set there."""
        layout = _laid(board)
        laid = lay_limbs(prepare(board.sheet, book, plain=True), layout, board.stand.approach)
        return Opening(laid.field, laid.state, laid.arm, NO_LOG, layout.pattern)

    return LimbsDesk(opens, mishap)


def _laid(board: Board) -> Layout:
    if board.layout is None:
        raise CaseError("no pattern is chosen yet, so there are no limbs; choose a pattern under Repair")
    return board.layout
