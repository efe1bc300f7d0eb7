"""``cuffwright rehab CASE.toml``: steps after the repair, and the two sheets once the surgeon releases them."""

from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from cuffwright.case.rehab import Milestone, RehabPlan, Release
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.sheets import PrintedSheet
from cuffwright.cli.consent import LargeOption
from cuffwright.cli.hold import CaseArgument, DrawsOption, JsonOption, SeedOption, answer
from cuffwright.cli.printing import SUPPORT, say_json, say_sources, write_whole
from cuffwright.course.hold import DRAWS
from cuffwright.course.rehab_sheets import patient_sheet, therapist_sheet
from cuffwright.course.rehabilitation import rehabilitation
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case
from cuffwright.exchange.protocol_file import open_protocol
from cuffwright.exchange.sheets import write_sheet

ProtocolOption = Annotated[Path | None, typer.Option(help="The surgeon's own protocol, TOML.")]
HoldOption = Annotated[
    bool, typer.Option("--hold", help="Work out what the repair holds, for the gap over many pulls.")
]
PlannedOption = Annotated[
    bool | None, typer.Option("--as-planned/--not-as-planned", help="Whether the repair was done as planned.")
]
ReleaseOption = Annotated[str | None, typer.Option(help="The surgeon's release: by whom.")]
TakeOption = Annotated[bool, typer.Option("--take-delays", help="The surgeon takes the proposed delays over.")]
CallOption = Annotated[str, typer.Option(help="Whom the patient calls.")]
PatientOption = Annotated[Path | None, typer.Option(help="Where to write the patient's sheet, PDF.")]
TherapistOption = Annotated[Path | None, typer.Option(help="Where to write the therapist's sheet, PDF.")]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("rehab")
    def _rehab(
        case: CaseArgument,
        protocol: ProtocolOption = None,
        hold: HoldOption = False,
        draws: DrawsOption = DRAWS,
        seed: SeedOption = 1,
        as_planned: PlannedOption = None,
        release: ReleaseOption = None,
        take_delays: TakeOption = False,
        call: CallOption = "",
        patient: PatientOption = None,
        therapist: TherapistOption = None,
        large: LargeOption = False,
        as_json: JsonOption = False,
    ) -> None:
        """Say when each step may begin: the surgeon's week or later, never earlier; sheets after the release."""
        sheet, now = open_case(case), datetime.now(UTC)
        plan = rehabilitation(
            sheet,
            load_book(),
            hold=answer(sheet, None, draws, seed) if hold else None,
            protocol=open_protocol(protocol) if protocol else None,
            as_planned=as_planned,
            release=Release(release, now.date(), take_delays) if release else None,
        )
        sheets: list[tuple[Path, PrintedSheet]] = []
        if patient is not None:
            sheets.append((patient, patient_sheet(sheet, plan, load_book(), call=call)))
        if therapist is not None:
            sheets.append((therapist, therapist_sheet(sheet, plan, load_book())))
        for path, made in sheets:
            write_whole(path, write_sheet(made, made_at=now, large=large))
        if as_json:
            say_json({**asdict(plan), "written": [str(path) for path, _ in sheets]})
        else:
            say_rehab(sheet, plan, [path for path, _ in sheets])


def say_rehab(sheet: CaseSheet, plan: RehabPlan, written: list[Path]) -> None:
    """Print the uncertainty first, then steps, delays, cautions, what is missing."""
    out = Console(highlight=False, soft_wrap=True, markup=False)
    invented = ", invented" if sheet.identity.invented else ""
    day = plan.operation_date or "not dated"
    out.print(f"{plan.case}{invented}, {plan.side.upper()} shoulder, operation {day}: a plan, not done.")
    if plan.void:
        out.print(f"VOID: {plan.void}; no week of it holds.", style="bold")
    out.print("What is not known:")
    for words in plan.uncertainty:
        out.print(f"  {words}")
    for words in plan.missing:
        out.print(f"  {words[0].upper()}{words[1:]}.")
    out.print("Cautions that always hold:")
    for words in plan.general:
        out.print(f"  {words}")
    for words in plan.cautions:
        out.print(f"CAUTION: {words}")
    if plan.milestones:
        out.print("Steps, each the latest of the protocol, the consensus where no protocol is given, and the delays:")
    for step in plan.milestones:
        out.print(f"  {_step(step)}")
        for late in step.delays:
            mark = "" if late.verified else " [unverified]"
            out.print(f"    not before week {late.week:g}: {late.words}{mark}")
    phases = "; ".join(f"{name} {start:g} to {end:g}" for name, start, end in plan.consensus)
    out.print(f"Published consensus, weeks: {phases}.")
    shares = ", ".join(f"{share:.0%} at week {week:g}" for week, share in plan.bound)
    out.print(f"Strength of sheep tendons, an upper bound [unverified]: {shares}.")
    for words in (*plan.arms, *plan.returning):
        out.print(f"  {words}")
    say_sources(out, plan.facts)
    for path in written:
        out.print(f"Wrote {path}.")
    out.print(SUPPORT)


def _step(step: Milestone) -> str:
    own = "no protocol given" if step.own_week is None else f"protocol week {step.own_week:g}"
    day = f", {step.day.isoformat()}" if step.day else ""
    return f"{step.step}: not before week {step.proposed_week:g}{day} ({own}, consensus week {step.consensus_week:g})"
