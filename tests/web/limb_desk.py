"""A desk for limbs over an invented field, with one kind of mishap, so that the page is tested apart from any case."""

from dataclasses import replace
from typing import Any

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Mishap, Replanned
from cuffwright.case.limbs import LimbAt, LimbField, LimbState
from cuffwright.course.board import Board
from cuffwright.limbs.counts import Minutes
from cuffwright.limbs.planning import make_plan
from cuffwright.limbs.words import Arm
from cuffwright.web.limbs_desk import LimbsDesk, Opening
from tests.exchange.cards.invented_limbs import field, start

NEEDS = Minutes(needs="minutes logged at this site")


def desk() -> LimbsDesk:
    """Two single-loaded anchors and two lateral ones, whatever the case; an anchor may be pulled out."""
    return LimbsDesk(opens, pulled_out)


def opens(board: Board, portals: str) -> Opening:
    """The invented field before its first anchor."""
    if board.layout is None:
        raise CaseError("no pattern is chosen")
    one: Any = field(2, 2, 1)
    first = one.sutures[0]
    known = replace(first, look=replace(field(2, 2, 1, looks=True).sutures[1].look))
    one = replace(one, sutures=(known, *one.sutures[1:]))
    return Opening(one, start(one), lambda site: "20 degrees abduction" if site else "", NEEDS, board.layout.pattern)


def pulled_out(one: LimbField, state: LimbState, mishap: Mishap, *, arm: Arm, minutes: Minutes) -> Replanned:
    """The limbs of an anchor gone, and the plan for the others."""
    if mishap.kind != "anchor out":
        raise CaseError("here only anchors are pulled out")
    gone = {limb for s in one.sutures if s.carrier == one.carrier(mishap.name).name for limb in s.limbs}
    limbs = tuple(LimbAt(x.limb, "removed") if x.limb in gone else x for x in state.limbs)
    over = tuple(pair for pair in state.over if not gone & set(pair))
    left = replace(state, limbs=limbs, over=over)
    told = f"Anchor {mishap.name} is out; its limbs {', '.join(sorted(gone))} are removed."
    return Replanned(one, left, make_plan(one, left, arm=arm, minutes=minutes), (told,))
