"""Two sheets after a repair: one for the therapist, one for the patient; printed only after the surgeon's release."""

from dataclasses import replace
from datetime import date

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.rehab import STEPS, Delay, Milestone, RehabPlan
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.sheets import PrintedSheet, SheetSection
from cuffwright.course.consent import WARNING, source_lines
from cuffwright.course.general import GENERAL, GENERAL_PLAIN
from cuffwright.course.reading_grade import reading_grade
from cuffwright.rehab.planning import day_of

PLAIN_STEPS = {
    "sling ends": "you may leave the sling off",
    "passive motion": "others may move your arm for you",
    "active motion": "you may move your arm by yourself",
    "strengthening": "you may start to train with weight",
}
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
LIMITS = (
    "Do not lift, push or pull with this arm before its day.",
    "Do not lean on this arm.",
    "Do not drive in a sling or on strong pain pills. Check with your insurer and the law.",
)


def plain_day(day: date) -> str:
    """A day as a patient reads it."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def released(plan: RehabPlan) -> None:
    """Refuse what must not be printed.

    Raises
    ------
    CaseError
        When the plan is void, or the surgeon has not released it.
    """
    if plan.void:
        raise CaseError(f"no sheet is printed: {plan.void}; plan the rehabilitation of the repair that was done")
    if plan.release is None:
        raise CaseError("no sheet is printed before the surgeon releases it; release the plan")


def sheet_week(plan: RehabPlan, step: Milestone) -> float:
    """The week on a sheet: with all delays where the surgeon took them over, else the surgeon's own and those read."""
    if plan.release is not None and plan.release.delays_taken:
        return step.proposed_week
    base = step.own_week if step.own_week is not None else step.consensus_week
    return max([base, *(one.week for one in step.delays if one.verified)])


def _days(plan: RehabPlan) -> list[tuple[Milestone, float, date]]:
    start = plan.operation_date
    if start is None:
        raise CaseError("dates need the day of the operation; set identity.operation_date")
    steps = [plan.milestone(step) for step in STEPS]
    weeks = [(one, sheet_week(plan, one)) for one in steps]
    return [(one, week, day_of(start, week)) for one, week in weeks]


def patient_sheet(sheet: CaseSheet, plan: RehabPlan, book: FactBook, *, call: str) -> PrintedSheet:
    """Dates, limits, warning signs and whom to call, in plain words; raises CaseError before the release."""
    released(plan)
    if not call.strip():
        raise CaseError("the patient's sheet needs whom to call; give a phone number or a ward")
    facts = Citing(book)
    days = sorted(_days(plan), key=lambda one: one[2])
    weeks = facts.number("retear.weeks.sure")
    made = PrintedSheet(
        reader="patient",
        title="After your shoulder repair",
        patient=plan.case,
        side=plan.side,
        invented=sheet.identity.invented,
        sections=(
            SheetSection(
                "What we do not know",
                (
                    "No one knows how fast your tendon heals. Your team may go slower than this. Do not go faster.",
                    f"Most tears that come back do so in the first {weeks:g} weeks.",
                ),
            ),
            SheetSection(
                "Your dates",
                ("Not before these days. Your team checks you first.",),
                tuple(f"{plain_day(day)}: {PLAIN_STEPS[one.step]}." for one, _, day in days),
            ),
            SheetSection("Your limits", (), (*LIMITS, *_degrees(plan))),
            SheetSection("Call us if you have", (), WARNING),
            SheetSection("Whom to call", (f"Call: {call.strip()}.",)),
        ),
        sources=(),
        general=GENERAL_PLAIN,
        grade=None,
        version=__version__,
        edition=book.edition,
    )
    grade = reading_grade(made.prose(), facts)
    rows = [facts.used["retear.weeks.sure"]]
    return replace(made, sources=(_protocol(plan), *source_lines(rows)), grade=grade)


def therapist_sheet(sheet: CaseSheet, plan: RehabPlan, book: FactBook) -> PrintedSheet:
    """What was torn, what to mind, stages with limits and criteria; raises CaseError before the release."""
    released(plan)
    rows = [book.fact(key) for key in plan.facts]
    days = [
        f"{one.step}: not before week {week:g} ({day.isoformat()}); protocol week {one.own_week:g}, consensus week"
        f" {one.consensus_week:g}" + "".join(f"; {_said(late, week)}" for late in one.delays)
        for one, week, day in _days(plan)
    ]
    return PrintedSheet(
        reader="therapist",
        title="Rehabilitation after cuff repair: for the therapist",
        patient=plan.case,
        side=plan.side,
        invented=sheet.identity.invented,
        sections=(
            SheetSection("What is not known", plan.uncertainty, tuple(map(_in_words, plan.missing))),
            SheetSection("The shoulder", (), tuple(f"{name}: {value}" for name, value in plan.about)),
            SheetSection("Mind", (), plan.cautions or ("No caution was raised by what is known.",)),
            SheetSection("Sling and arm", ("The surgeon sets the position of the sling.",), plan.arms),
            SheetSection("Steps", (f"Protocol {_protocol(plan)}.",), tuple(days)),
            SheetSection("Stages, the surgeon's limits", (), _stages(plan)),
            SheetSection("Work and driving", (), plan.returning),
            SheetSection("Go on when", ("Milestones, not dates, allow progress.",), plan.criteria),
        ),
        sources=source_lines(rows),
        general=GENERAL,
        grade=None,
        version=__version__,
        edition=plan.edition,
    )


CALLED = {
    "biceps.torn_share": "the torn share of the biceps",
    "biceps.unstable": "whether the biceps is stable",
    "subscapularis.torn": "whether the subscapularis is torn",
    "tear.retraction_mm": "the retraction of the edge",
    "tear.tissue": "the quality of the tissue, felt in theatre",
    " (on the page, or by --hold)": "",
}
"""What the program calls its inputs, and how a therapist reads them."""


def _in_words(missing: str) -> str:
    for name, words in CALLED.items():
        missing = missing.replace(name, words)
    return missing


def _said(late: Delay, week: float) -> str:
    taken = "" if late.week <= week else f"week {late.week:g} was proposed and not taken over: "
    return taken + late.words + ("" if late.verified else " [unverified]")


def _protocol(plan: RehabPlan) -> str:
    protocol, release = plan.protocol, plan.release
    if protocol is None or release is None:
        raise CaseError("no sheet is printed without the surgeon's protocol; give one")
    return f"{protocol.name}, version {protocol.version}, released {release.day.isoformat()} by {release.by}"


def _degrees(plan: RehabPlan) -> tuple[str, ...]:
    stages = plan.protocol.stages if plan.protocol else ()
    return tuple(
        f"Weeks {one.from_week:g} to {one.to_week:g}: {words} no more than {degrees:g} degrees."
        for one in stages
        for words, degrees in (
            ("lift your arm", one.elevation_degrees),
            ("turn your arm out", one.external_rotation_degrees),
        )
        if degrees is not None
    )


def _stages(plan: RehabPlan) -> tuple[str, ...]:
    found = []
    for one in plan.protocol.stages if plan.protocol else ():
        limits = [
            f"{name} {value:g} degrees"
            for name, value in (
                ("elevation to", one.elevation_degrees),
                ("external rotation to", one.external_rotation_degrees),
            )
            if value is not None
        ]
        criteria = f"; go on when: {', '.join(one.criteria)}" if one.criteria else ""
        found.append(
            f"{one.name}, weeks {one.from_week:g} to {one.to_week:g}: {one.allowed}"
            + (f"; {', '.join(limits)}" if limits else "")
            + criteria
        )
    return tuple(found) or ("The protocol names no stages.",)
