"""The strength of the repair, planned and as done: worked out beside the page, watched in theatre, kept for good."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import floor, log10
from time import monotonic
from typing import Any, Literal

from cuffwright.case.entry import StrengthKept
from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.reach import Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.course.record import done_layout
from cuffwright.course.record.present import changed, felt, present_layout
from cuffwright.theatre import Operation
from cuffwright.web.bench import Bench
from cuffwright.web.settling import BESIDE, Course

FIGURES = 2
"""Numerical choice: significant figures of a strength in a record; its spread allows no more."""

PATIENCE_SECONDS = 300.0
"""Numerical choice: the record waits this long for a strength; theatre never waits."""

Which = Literal["planned", "done"]


@dataclass(frozen=True)
class Wanted:
    """A repair whose strength is asked for: planned or as done, on which sheet, come at how."""

    which: Which
    sheet: CaseSheet
    layout: Layout
    approach: Approach


class Strengths:
    """Strengths of operations, each worked out once by the worker process. Safe to share between threads."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench

    def course(self, key: str, wanted: Wanted) -> Course:
        """How far the worker is with it, set to work unless it is; never waits.

        Raises
        ------
        OutsideValidity
            When it was worked out and there is no answer, with the reason.
        """
        bench, layout = self._bench, wanted.layout
        if wanted.which == "done":
            ready, seat = bench.prepared(wanted.sheet), bench.holding.seat
            layout = replace(layout, anchors=tuple(seat(ready, a, a.u, a.v) for a in layout.anchors))
        job = bench.input_key(wanted.sheet, layout, wanted.approach)
        failed = bench.settling.failed(job)
        if failed is not None:
            raise OutsideValidity(failed)
        return bench.settling.ask(f"{key}{BESIDE}{wanted.which}", job, wanted.sheet, layout, wanted.approach)

    def waited(self, key: str, wanted: Wanted) -> HoldResult:
        """The settled answer, waited for; raises OutsideValidity when there is none."""
        end = monotonic() + PATIENCE_SECONDS
        while monotonic() < end:
            course = self.course(key, wanted)
            course.ended.wait(end - monotonic())
            if course.result is not None and course.last.kind == "settled":
                return course.result
        raise OutsideValidity("the strength is not worked out yet; ask again in a moment")

    def stop(self, key: str) -> None:
        """Stop whatever is being worked out for an operation."""
        for which in ("planned", "done"):
            self._bench.settling.stop(f"{key}{BESIDE}{which}")


def strengths(key: str, board: Board, operation: Operation, worked: Strengths) -> Iterator[StrengthKept]:
    """The strength of the plan, and of what was done once every anchor and stitch is affirmed; waits for them.

    Raises
    ------
    CaseError
        When theatre is not open or there is no plan.
    OutsideValidity
        When the model may not answer.
    """
    opening = operation.first
    if opening is None or opening.layout is None:
        raise CaseError("the strength needs a repair pattern and an open theatre")
    approach = board.stand.approach
    yield kept("planned", worked.waited(key, Wanted("planned", board.sheet, opening.layout, approach)))
    done = done_layout(operation)
    if done is not None:
        yield kept("done", worked.waited(key, Wanted("done", felt(board.sheet, operation), done, approach)))


def present(key: str, board: Board, operation: Operation, worked: Strengths) -> dict[str, Any]:
    """What would hold if the rest goes as planned, beside the plan, as far as it is worked out; kept nowhere.

    Before theatre is open, the plan that stands in Repair: so it is ready by the first step.
    """
    layout = operation.first.layout if operation.first else board.layout
    if layout is None:
        return _told("Strength: not computed, needs a repair pattern.")
    before = worked.course(key, Wanted("planned", board.sheet, layout, board.stand.approach))
    if not changed(operation):
        return _told(f"By the plan: {_so_far(before)}", before)
    if before.last.kind != "settled":
        return _told(f"By the plan: {_so_far(before)} What follows from what happened is worked out next.", before)
    now = present_layout(operation)
    if now is None:
        return _told(f"As it stands nothing would hold. By the plan: {_so_far(before)}")
    found = worked.course(key, Wanted("done", felt(board.sheet, operation), now, board.stand.approach))
    words = f"As it stands, if the rest goes as planned: {_so_far(found)} By the plan: {_so_far(before)}"
    return _told(words, found)


def _told(words: str, course: Course | None = None) -> dict[str, Any]:
    last = course.last if course else None
    working = last is not None and last.kind not in {"settled", "failed"}
    return {"words": words, "working": working, "done": last.done if last else 0, "total": last.total if last else 0}


def _so_far(course: Course) -> str:
    """The strength as a sentence; a first estimate, or that it is being worked out, until it is settled."""
    if course.result is None:
        return f"being worked out; {course.last.sentence}" if course.last.sentence else "being worked out."
    told = f"{_said(kept('planned', course.result))}. Time zero, laboratory."
    return told if course.last.kind == "settled" else f"first estimate {told}"


def _said(entry: StrengthKept) -> str:
    low, middle, high = entry.low_newtons, entry.middle_newtons, entry.high_newtons
    return f"{middle:g} N ({low:g} to {high:g}), weakest at {entry.weakest}, {entry.tissue} tissue, {entry.bone} bone"


def kept(which: Literal["planned", "done"], result: HoldResult) -> StrengthKept:
    """The middle scenario of an answer, rounded, as it is kept."""
    middle = result.scenarios[len(result.scenarios) // 2]
    low, value, high = (_rounded(x) for x in (middle.ultimate.low, middle.ultimate.middle, middle.ultimate.high))
    return StrengthKept(
        which=which,
        tissue=middle.tissue,
        bone=middle.bone,
        low_newtons=low,
        middle_newtons=value,
        high_newtons=high,
        weakest=middle.weakest,
        draws=result.draws,
        seed=result.seed,
        version=result.version,
        edition=result.edition,
        input_hash=result.input_hash,
    )


def _rounded(value: float) -> float:
    return round(value, FIGURES - 1 - floor(log10(value))) if value > 0 else 0.0
