"""The strength of the repair, planned and as done, for the record."""

import threading
from collections import OrderedDict
from collections.abc import Iterator
from concurrent.futures import Future
from dataclasses import replace
from math import floor, log10
from typing import Any, Literal

from cuffwright.case.entry import StrengthKept
from cuffwright.case.errors import CaseError
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.record import done_layout
from cuffwright.course.record.present import changed, felt, present_layout
from cuffwright.theatre import Operation
from cuffwright.web.bench import Bench

FIGURES = 2
"""Numerical choice: significant figures of a strength in a record; its spread allows no more."""


KEPT = 16
"""Numerical choice: settled answers kept in memory."""


class Settled:
    """Settled answers by sheet and layout, the last ones kept. Safe to share between threads."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._lock = threading.Lock()
        self._known: OrderedDict[tuple[CaseSheet, Layout], Future[HoldResult]] = OrderedDict()

    def of(self, sheet: CaseSheet, layout: Layout) -> HoldResult:
        """The settled answer for ``layout``; worked out once, however many ask meanwhile."""
        key = sheet, layout
        with self._lock:
            asked, first = self._known.get(key), False
            if asked is None:
                asked, first = Future(), True
                self._known[key] = asked
                while len(self._known) > KEPT:
                    self._known.popitem(last=False)
            self._known.move_to_end(key)
        if first:
            self._settle(asked, sheet, layout)
        return asked.result()

    def _settle(self, asked: Future[HoldResult], sheet: CaseSheet, layout: Layout) -> None:
        bench, settling = self._bench, self._bench.settling
        try:
            found = bench.holding.settle(bench.prepared(sheet), layout, draws=settling.draws, seed=settling.seed)
        except BaseException as wrong:
            asked.set_exception(wrong)
            with self._lock:
                self._known.pop((sheet, layout), None)
            return
        asked.set_result(found)

    def seated(self, sheet: CaseSheet, layout: Layout) -> HoldResult:
        """The settled answer for ``layout`` with its anchors seated where they were put."""
        ready, seat = self._bench.prepared(sheet), self._bench.holding.seat
        return self.of(sheet, replace(layout, anchors=tuple(seat(ready, a, a.u, a.v) for a in layout.anchors)))


def strengths(sheet: CaseSheet, operation: Operation, settled: Settled) -> Iterator[StrengthKept]:
    """The strength of the plan, and of what was done once every anchor and stitch is affirmed.

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
    yield kept("planned", settled.of(sheet, opening.layout))
    done = done_layout(operation)
    if done is not None:
        yield kept("done", settled.seated(felt(sheet, operation), done))


def present(sheet: CaseSheet, operation: Operation, settled: Settled) -> dict[str, Any]:
    """What would hold if the rest goes as planned, beside the plan: for the surgeon at the table, kept nowhere."""
    opening = operation.first
    if opening is None or opening.layout is None:
        return {"words": "Strength: not computed, needs a repair pattern."}
    before = kept("planned", settled.of(sheet, opening.layout))
    if not changed(operation):
        return {"words": f"By the plan: {_said(before)}. Time zero, laboratory."}
    now = present_layout(operation)
    if now is None:
        return {"words": f"As it stands nothing would hold. By the plan: {_said(before)}."}
    found = kept("done", settled.seated(felt(sheet, operation), now))
    words = f"As it stands, if the rest goes as planned: {_said(found)}. By the plan: {_said(before)}."
    return {"words": f"{words} Time zero, laboratory."}


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
