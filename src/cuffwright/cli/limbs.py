"""``cuffwright limbs CASE.toml``: the order of work with the suture limbs, its certificate, and the cards on paper."""

from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.limb_answer import LimbAnswer
from cuffwright.case.limb_plan import LimbPlan
from cuffwright.case.limbs import Move
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.hold import CaseArgument, JsonOption, PatternOption
from cuffwright.cli.limbs_checked import say_checked
from cuffwright.cli.printing import SUPPORT, say_json, write_whole
from cuffwright.course.limb_checked import checked
from cuffwright.course.limb_portals import FEWEST
from cuffwright.course.limbs import limbs_of
from cuffwright.evidence.book import load_book
from cuffwright.exchange.cards import write_cards
from cuffwright.exchange.case_file import open_case
from cuffwright.exchange.limb_records import read_records
from cuffwright.exchange.minutes_log import read_minutes
from cuffwright.limbs.counts import calibrated
from cuffwright.limbs.planning import NO_LOG

CardOption = Annotated[Path | None, typer.Option(help="Where to write the phase card and the list of steps, PDF.")]
MinutesOption = Annotated[
    Path | None, typer.Option(help="This site's log, CSV: one operation a line, counts of each kind of move, minutes.")
]
CheckOption = Annotated[
    Path | None, typer.Option(help="A record of moves, CSV: each is judged and followed as made, and the rest planned.")
]
PortalsOption = Annotated[
    str, typer.Option(help="A set of portals by name, such as five; default: the fewest that reach everything.")
]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("limbs")
    def _limbs(
        case: CaseArgument,
        pattern: PatternOption = None,
        portals: PortalsOption = FEWEST,
        card: CardOption = None,
        minutes: MinutesOption = None,
        check: CheckOption = None,
        as_json: JsonOption = False,
    ) -> None:
        """Plan the suture limbs: every move in order, proven shortest or with its gap, and free of tangles."""
        sheet, book = open_case(case), load_book()
        least = round(Citing(book).number("limbs.setting.operations"))
        known = calibrated(read_minutes(minutes), least) if minutes else NO_LOG
        answer = limbs_of(sheet, book, pattern=pattern, portal_set=portals, minutes=known)
        if check:
            limbs = [limb.limb for limb in answer.state.limbs]
            records = [one if isinstance(one, Move) else one.hanging for one in read_records(check, limbs)]
            found = checked(answer.field, answer.state, records, arm=answer.arm, minutes=known)
            if as_json:
                say_json(asdict(found))
            else:
                say_checked(sheet, check, answer, found)
            return
        if answer.plan is None:
            raise CaseError(answer.refused)
        if card:
            write_whole(card, _cards(sheet, answer, answer.plan))
        if as_json:
            say_json(asdict(answer))
        else:
            say_limbs(sheet, case, answer, answer.plan)
            if card:
                print(f"Wrote {card}.")


def _cards(sheet: CaseSheet, answer: LimbAnswer, plan: LimbPlan) -> bytes:
    stamp = f"Cuffwright {__version__} · evidence {answer.edition}"
    made = datetime.now(UTC)
    return write_cards(sheet.identity, answer.field, plan, made_at=made, about=answer.pattern, stamp=stamp)


def say_limbs(sheet: CaseSheet, path: Path, answer: LimbAnswer, plan: LimbPlan) -> None:
    """Print whose and which side, portals, every step, counts, certificate, and what is not computed."""
    out = Console(highlight=False, soft_wrap=True, markup=False)
    invented = ", invented" if sheet.identity.invented else ""
    out.print(f"{answer.case}{invented}, {answer.side.upper()} shoulder, {path.name}: a plan, not done.")
    out.print(f"{answer.pattern}. {plan.certificate.words}", style="bold")
    for portal in answer.field.portals:
        cannula = ", working cannula" if portal.cannula else ""
        out.print(f"{portal.code} {portal.name}: room for {portal.capacity} limbs{cannula}")
    phase = ""
    for step in plan.steps:
        if step.phase != phase:
            phase = step.phase
            out.print(f"-- {phase}")
        caution = f" CAUTION: {step.caution}" if step.caution else ""
        out.print(f"{step.number:3} {step.words}; arthroscope {step.scope}.{caution}")
    _say_rest(out, answer, plan)


def _say_rest(out: Console, answer: LimbAnswer, plan: LimbPlan) -> None:
    c = plan.counts
    out.print(
        f"Counts: {c.moves} moves, {c.retrievals} retrievals, {c.passes} passes, {c.knots} knots, {c.cuts} cuts,"
        f" {c.seats} lateral anchors, arthroscope moved {c.scope_moves} times, {c.pulls} pulls through tendon,"
        f" most limbs outside at once {c.most_parked}."
    )
    if answer.compared:
        out.print(f"As commonly done: {answer.compared.moves} moves; here {answer.compared.planned}.")
        for what, usually, planned, reason in answer.compared.differences:
            out.print(f"  {what}: {usually} usually, {planned} here; {reason}")
    if plan.minutes is not None:
        out.print(f"Time by this site's own log: {plan.minutes:g} min.")
    for text in (*plan.cautions, *(f"{one[0].upper()}{one[1:]}." for one in answer.not_computed)):
        out.print(text)
    out.print("Rules that bind or weigh, unverified ones marked:")
    for rule in answer.field.rules:
        unsure = "" if rule.provenance not in {"memory", "assumed"} else f" [{rule.provenance}: unverified]"
        out.print(f"  {rule.name} ({rule.weight}): {rule.reason}{unsure}")
    book = load_book()
    unverified = sum(not book.fact(key).verified for key in answer.facts)
    out.print(
        f"{len(answer.facts)} facts of edition {answer.edition}, {unverified} of them unverified (memory or assumed);"
        f" version {answer.version}."
    )
    out.print(SUPPORT)
