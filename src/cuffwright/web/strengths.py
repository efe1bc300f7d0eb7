"""The strength of the repair, planned and as done, for the record."""

from collections.abc import Iterator
from dataclasses import replace
from math import floor, log10
from typing import Any, Literal

from cuffwright.case.entry import StrengthKept
from cuffwright.case.errors import CaseError
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.record import done_layout
from cuffwright.theatre import Operation
from cuffwright.web.bench import Bench

FIGURES = 2
"""Numerical choice: significant figures of a strength in a record; its spread allows no more."""


def strengths(sheet: CaseSheet, operation: Operation, bench: Bench) -> Iterator[StrengthKept]:
    """The strength of the plan, and of what was done once every anchor and stitch is affirmed.

    Raises
    ------
    CaseError
        When theatre is not open or there is no plan.
    OutsideValidity
        When the model may not answer.
    """
    opening = operation.opening
    if opening is None or opening.layout is None:
        raise CaseError("the strength needs a repair pattern and an open theatre")
    yield kept("planned", settled(sheet, opening.layout, bench))
    done = done_layout(operation)
    if done is not None:
        measured = as_measured(sheet, operation)
        ready = bench.prepared(measured)
        seated = replace(done, anchors=tuple(bench.holding.seat(ready, a, a.u, a.v) for a in done.anchors))
        yield kept("done", settled(measured, seated, bench))


def settled(sheet: CaseSheet, layout: Layout, bench: Bench) -> HoldResult:
    """The settled answer for ``layout``."""
    settling = bench.settling
    return bench.holding.settle(bench.prepared(sheet), layout, draws=settling.draws, seed=settling.seed)


def as_measured(sheet: CaseSheet, operation: Operation) -> CaseSheet:
    """The sheet with the tear as it was measured in theatre."""
    found: dict[str, Any] = {
        field.removeprefix("tear."): Measurement(entry.value, 0.0, "probe", f"theatre, entry {kept_.seq}")
        for field, (kept_, entry) in operation.remeasured.items()
        if field in {"tear.width_mm", "tear.retraction_mm", "tear.thickness_mm"}
    }
    return replace(sheet, tear=replace(sheet.tear, **found, remeasured_after_debridement=True)) if found else sheet


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
