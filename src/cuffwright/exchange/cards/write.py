"""Write the limb cards as PDF."""

import json
from datetime import datetime
from pathlib import Path
from typing import Literal, cast

import typst

from cuffwright.case.errors import FormatError
from cuffwright.case.identity import Identity
from cuffwright.case.limb_plan import LimbPlan
from cuffwright.case.limbs import LimbField, Suture
from cuffwright.exchange.cards.step_rows import Plain, arms, phase_rows_of, step_rows
from cuffwright.exchange.cards.threads import UNKNOWN, thread_of
from cuffwright.exchange.report.printed import plain

TEMPLATE = Path(__file__).parent / "cards.typ"
STANDARDS: list[Literal["ua-1", "a-2b"]] = ["ua-1", "a-2b"]
MODE = "teaching and planning, not for care"
DECIDES = "Planning and teaching support; the surgeon decides"

PHASE_POINTS = (30.0, 28.0, 26.0, 24.0, 23.0)
"""Type of the phase card, points, the largest that fits. At the least a capital of the card's letters is 5.9 mm high:
ten minutes of arc at two metres, twice a letter of the line of an eye chart that counts as full sight (5 minutes)."""

STEP_POINTS = (11.0, 10.0, 9.5, 9.0, 8.5, 8.0)
"""Type of the list of steps, points, the largest that fits."""

PHASE_PAGES, STEP_PAGES = 1, 2


def write_cards(
    who: Identity,
    field: LimbField,
    plan: LimbPlan,
    *,
    made_at: datetime,
    about: str = "",
    stamp: str = "",
    mode: str = MODE,
) -> bytes:
    """The phase card (one page) and the list of steps (front and back of a sheet) as tagged A4, PDF/UA-1 and PDF/A-2b.

    Parameters
    ----------
    who
        Whose and which side.
    field
        Portals, sutures and looks the plan is for.
    plan
        The plan; planned is never printed as done.
    made_at
        When the cards are made, with its time zone; equal arguments give equal bytes.
    about
        The repair in words, such as the name of its pattern.
    stamp
        Version, evidence edition and inputs, for the foot.
    mode
        The mark on every page.

    Raises
    ------
    FormatError
        When the time has no zone, the plan has no step, or it does not fit its pages.
    """
    if made_at.tzinfo is None:
        raise FormatError("the time of the cards has no time zone; pass made_at with one")
    if not plan.steps:
        raise FormatError(
            "the plan holds no step, so there is nothing to print; plan the limbs from a state with work left"
        )
    words = _words(who, field, plan, made_at, about, stamp, mode)
    for lettered in (False, True):
        listed = {"rows": step_rows(field, plan.steps, lettered=lettered), "arms": arms(plan.steps) if lettered else []}
        fitting = _fitting({**words, **listed})
        if fitting is not None:
            return _made(fitting, made_at)
    raise FormatError("the plan does not fit its cards: too many limbs for one row, or too many steps for two pages")


def _fitting(words: Plain) -> typst.Compiler | None:
    """The cards in the largest type that keeps to their pages; None when the smallest does not."""
    phase, step = 0, 0
    while phase < len(PHASE_POINTS) and step < len(STEP_POINTS):
        compiler = _compiler({**words, "phase_points": PHASE_POINTS[phase], "step_points": STEP_POINTS[step]})
        over_phase, over_step = _over(compiler)
        if not (over_phase or over_step):
            return compiler
        phase, step = phase + over_phase, step + over_step
    return None


def _words(
    who: Identity, field: LimbField, plan: LimbPlan, made_at: datetime, about: str, stamp: str, mode: str
) -> Plain:
    side = f"{who.side.upper()} shoulder"
    counts = plan.counts
    return {
        "title": plain(f"Suture limbs, {side}, patient {who.patient}"),
        "side": side,
        "patient": plain(who.patient),
        "date": who.operation_date.isoformat() if who.operation_date else "date not given",
        "invented": "Invented demonstration case: no such patient." if who.invented else "",
        "about": plain(about),
        "made_at": made_at.isoformat(timespec="minutes"),
        "mode": plain(mode),
        "decides": DECIDES,
        "stamp": plain(stamp),
        "phases": phase_rows_of(field, plan.phases, plan.steps),
        "portals": [[p.code, plain(p.name), "cannula" if p.cannula else ""] for p in field.portals],
        "sutures": [_suture(s) for s in field.sutures],
        "unknown": UNKNOWN,
        "hitches": field.hitches,
        "certificate": plain(plan.certificate.words),
        "counts": (
            f"{counts.moves} moves: {counts.retrievals} retrievals, {counts.passes} passes, {counts.knots} knots,"
            f" {counts.seats} lateral anchors, arthroscope moved {counts.scope_moves} times;"
            f" most limbs outside at once {counts.most_parked}"
        ),
        "minutes": f"about {plan.minutes:g} min"
        if plan.minutes is not None
        else f"not computed, needs {plan.minutes_needs}",
        "cautions": [plain(text) for text in plan.cautions],
    }


def _suture(suture: Suture) -> Plain:
    thread = thread_of(suture.look)
    return {"name": suture.name, "words": plain(thread.words), "hue": thread.hue, "pattern": thread.pattern}


def _compiler(words: Plain) -> typst.Compiler:
    return typst.Compiler(
        input=TEMPLATE,
        root=TEMPLATE.parent,
        ignore_system_fonts=True,
        sys_inputs={"cards": json.dumps(words, ensure_ascii=False)},
    )


def _over(compiler: typst.Compiler) -> tuple[bool, bool]:
    """Whether the phase card and the list run over their pages."""
    try:
        ends = json.loads(compiler.query("<ends>", field="value"))
    except typst.TypstError as error:
        raise FormatError(f"the cards could not be set ({error}); report this with the case as a fault") from error
    phase_end, last = (int(end) for end in ends)
    return phase_end > PHASE_PAGES, last - phase_end > STEP_PAGES


def _made(compiler: typst.Compiler, made_at: datetime) -> bytes:
    try:
        made = compiler.compile(format="pdf", pdf_standards=list(STANDARDS), timestamp=made_at.replace(microsecond=0))
    except typst.TypstError as error:
        raise FormatError(f"the cards could not be set ({error}); report this with the case as a fault") from error
    return cast("bytes", made)
