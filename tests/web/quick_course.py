"""The real shoulder, patterns and rules with a made-up strength, so that door tests need no mechanics.

Only scatter is replaced: a settled answer is a closed formula of the layout, drawn in chunks that can be stopped.
"""

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from cuffwright.anatomy.side import map_axes
from cuffwright.case.contact import Contact, PressureMap
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.hold import HoldResult, MemberLoad, ScenarioHold
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Interval
from cuffwright.case.reach import USUAL, Approach
from cuffwright.case.tear import Grade
from cuffwright.course.hold import explain, lay, prepare
from cuffwright.course.prepared import Prepared, seat
from cuffwright.course.rules import check_layout
from cuffwright.repair.patterns import patterns
from cuffwright.web.chart_view import chart_view
from cuffwright.web.holding import Holding

CHUNK_SECONDS = 0.02
GRADES: tuple[tuple[Grade, float], ...] = (("good", 1.0), ("fair", 0.7), ("poor", 0.4))


def strength(layout: Layout) -> float:
    """A made-up strength in N: grows with the spread of the anchors."""
    return round(100 + 3 * sum(a.u for a in layout.anchors) + 2 * sum(h.v for h in layout.holes), 1)


def settle(
    prepared: Prepared,
    layout: Layout,
    *,
    draws: int,
    seed: int,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    approach: Approach = USUAL,
) -> HoldResult:
    """A made-up settled answer, in chunks of 100 draws."""
    for done in range(100, draws + 1, 100):
        time.sleep(CHUNK_SECONDS)
        if cancelled:
            cancelled()
        if progress:
            progress(done, draws)
    return _answer(prepared, layout, (draws, seed), approach, settled=True)


def glance(prepared: Prepared, layout: Layout, last: HoldResult | None, approach: Approach = USUAL) -> HoldResult:
    """A made-up estimate."""
    return _answer(prepared, layout, (last.draws if last else 0, 1), approach, settled=False)


def _scenario(layout: Layout, grade: Grade, factor: float, settled: bool) -> ScenarioHold:
    middle = round(strength(layout) * factor, 1)
    reach = Interval(middle, middle / 2, middle * 2, "N", 0.9)
    members = tuple(
        MemberLoad(h.name, "hole", 20.0, Interval(30.0, 20.0, 40.0, "N", 0.9), 60.0, 0.1) for h in layout.holes
    )
    gap = Interval(2.0, 1.0, 3.0, "mm", 0.9)
    stiff = Interval(40.0, 30.0, 50.0, "N/mm", 0.9)
    curve = ((10.0, 0.0), (middle, 4.0))
    return ScenarioHold(
        grade,
        grade,
        reach,
        None,
        middle,
        gap,
        100.0,
        1.0,
        stiff,
        "anchor 1",
        members,
        (("anchor 1", 1.0),),
        curve,
        settled,
    )


def _answer(
    prepared: Prepared, layout: Layout, drawn: tuple[int, int], approach: Approach, settled: bool
) -> HoldResult:
    facts, (draws, seed) = Citing(prepared.book), drawn
    cautions = (*check_layout(layout, prepared.strip, prepared.bed, facts), *prepared.cautions)
    strip = prepared.strip
    contact = Contact(40.0, 0.2, 0.5, (0.1, 0.18), (0.9, 0.6), 0.18, 0.6, 180.0, 0.0, 0.0)
    grid = PressureMap((strip.front, strip.front + strip.width), (0.0, strip.edge), ((0.1, 0.2), (0.3, 0.4)))
    identity = prepared.sheet.identity
    return HoldResult(
        case=identity.patient,
        side=identity.side,
        layout=layout,
        strip=strip,
        scenarios=tuple(_scenario(layout, grade, factor, settled) for grade, factor in GRADES),
        contact=contact,
        contact_loaded=None,
        pressure=grid,
        cautions=cautions,
        verdict="Made up. Time zero, laboratory.",
        inputs=prepared.inputs,
        missing=prepared.missing,
        facts=tuple(sorted({*prepared.facts, *facts.used})),
        draws=draws,
        seed=seed,
        version="0",
        edition=prepared.book.edition,
        input_hash=f"{strength(layout)}-{draws}",
        approach=approach,
    )


def titles() -> dict[str, str]:
    """Pattern titles by name."""
    return {name: one.title for name, one in patterns().items()}


def no_warming(_: FactBook) -> None:
    """Nothing to compile."""


def prepare_plain(sheet: Any, book: FactBook) -> Prepared:
    """The real preparation."""
    return prepare(sheet, book, plain=True)


def broken_settle(prepared: Prepared, layout: Layout, **_: Any) -> HoldResult:
    """A computation that breaks."""
    raise RuntimeError(f"broken on purpose for {map_axes(prepared.sheet.identity.side)} {layout.pattern}")


QUICK = Holding(prepare_plain, lay, glance, settle, explain, seat, chart_view, titles, no_warming)
BROKEN = replace(QUICK, settle=broken_settle)
