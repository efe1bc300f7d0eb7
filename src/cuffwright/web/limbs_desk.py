"""What the page computes for the limbs of a case: the field once, plans from every point of a rehearsal, judgements."""

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Protocol

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Finding, LimbPlan, Mishap, Replanned
from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.course.board import Board
from cuffwright.course.limb_portals import FEWEST
from cuffwright.limbs.counts import Minutes
from cuffwright.limbs.judge import apply, judge
from cuffwright.limbs.planning import make_plan
from cuffwright.limbs.words import Arm

KEPT = 48
"""Numerical choice: points of rehearsals kept in memory."""

Event = Move | Mishap


@dataclass(frozen=True)
class Opening:
    """How a case begins: field, state before the first anchor, arm positions, minutes logged, repair, portals."""

    field: LimbField
    state: LimbState
    arm: Arm
    minutes: Minutes
    about: str
    portal_set: str = FEWEST


@dataclass(frozen=True)
class Point:
    """A point of a rehearsal: what stands, moves made, the plan from here or why there is none, and what changed."""

    opening: Opening
    field: LimbField
    state: LimbState
    done: int = 0
    plan: LimbPlan | None = None
    refused: str = ""
    changes: tuple[str, ...] = ()

    def states(self) -> list[LimbState]:
        """The state before the first step of the plan and after each."""
        found = [self.state]
        for move in self.plan.moves if self.plan else ():
            found.append(apply(self.field, found[-1], move))
        return found


class Replan(Protocol):
    """What stands after a mishap, with the new plan."""

    def __call__(
        self, field: LimbField, state: LimbState, event: Mishap, /, *, arm: Arm, minutes: Minutes
    ) -> Replanned:
        """The changed field and state, the plan from there, and what changed."""
        ...


class LimbsDesk:
    """Points of rehearsals. Every method may be called from any thread, and none from the event loop."""

    def __init__(
        self, opens: Callable[[Board, str], Opening], replan: Replan, stamp: Callable[[], object] = lambda: None
    ) -> None:
        """Open fields by ``opens`` from a board and the name of a set of portals; once ``stamp`` changes, anew."""
        self._opens, self._replan, self._stamp = opens, replan, stamp
        self._lock = threading.Lock()
        self._points: OrderedDict[Any, Point] = OrderedDict()

    def point(self, board: Board, events: tuple[Event, ...] = (), portals: str = FEWEST) -> Point:
        """Where a rehearsal stands after ``events``, with the plan from there, worked through a set of ``portals``.

        Raises
        ------
        CaseError
            When no pattern is chosen, there is no such set, the repair cannot be worked, or an event names what is not
            there.
        """
        key = board.sheet, board.layout, board.stand, portals, self._stamp()
        found = self._kept((*key, events))
        if found is None or not (found.plan or found.refused):
            found = _planned(found or self._standing(key, board, events, portals))
            self._keep((*key, events), found)
        return found

    def judged(self, here: Point, move: Move) -> tuple[Finding, ...]:
        """What speaks against a move at a point of a rehearsal."""
        return judge(here.field, here.state, move)

    def _standing(self, key: tuple[Any, ...], board: Board, events: tuple[Event, ...], portals: str) -> Point:
        """The point without its plan, followed from the longest way that is kept."""
        known = len(events)
        while known and self._kept((*key, events[:known])) is None:
            known -= 1
        here = self._kept((*key, events[:known]))
        if here is None:
            opened = self._opens(board, portals)
            here = Point(opened, opened.field, opened.state)
        for event in events[known:]:
            here = _moved(here, event) if isinstance(event, Move) else self._mishap(here, event)
        return here

    def _mishap(self, before: Point, mishap: Mishap) -> Point:
        opening = before.opening
        new = self._replan(before.field, before.state, mishap, arm=opening.arm, minutes=opening.minutes)
        return Point(opening, new.field, new.state, before.done, new.plan, "", new.changes)

    def _kept(self, key: Any) -> Point | None:
        with self._lock:
            if key in self._points:
                self._points.move_to_end(key)
            return self._points.get(key)

    def _keep(self, key: Any, found: Point) -> None:
        with self._lock:
            self._points[key] = found
            while len(self._points) > KEPT:
                self._points.popitem(last=False)


def replanned(here: Point, field: LimbField) -> LimbPlan:
    """The plan from the same point in another field; nothing is kept. Raises CaseError where there is none."""
    return make_plan(field, here.state, arm=here.opening.arm, minutes=here.opening.minutes)


def _moved(before: Point, move: Move) -> Point:
    state = apply(before.field, before.state, move)
    return Point(before.opening, before.field, state, before.done + (move.kind != "test"))


def _planned(here: Point) -> Point:
    """The point with its plan; a dead end says why there is none."""
    try:
        plan = make_plan(here.field, here.state, arm=here.opening.arm, minutes=here.opening.minutes)
    except CaseError as wrong:
        return replace(here, plan=None, refused=str(wrong))
    return replace(here, plan=plan, refused="")
