"""``cuffwright odds CASE.toml``: classes, published odds side by side, reasons against; never a verdict."""

from dataclasses import asdict

import typer
from rich.console import Console
from rich.table import Table

from cuffwright.case.odds import ClassAnswer, Judged, OddsAnswer
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.hold import CaseArgument, JsonOption
from cuffwright.cli.printing import SUPPORT, WIDTH, say_json, say_sources
from cuffwright.course.judging import judged
from cuffwright.evidence.book import load_book
from cuffwright.evidence.statements import statements
from cuffwright.exchange.case_file import open_case
from cuffwright.healing.models import NOT_HEALED

UNVERIFIED = " [unverified]"
WHERE = {
    "inside": "this patient is one of these people",
    "outside": "this patient is not one of these people",
    "not known": "not known whether this patient is one of these people",
}


def judge(sheet: CaseSheet) -> Judged:
    """What the packaged evidence says of a case."""
    return judged(sheet, load_book(), benefit=statements("benefit"), statements=statements("guideline"))


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("odds")
    def _odds(case: CaseArgument, as_json: JsonOption = False) -> None:
        """Say classes, published odds of healing, reasons against and what is not known; it never decides."""
        sheet = open_case(case)
        found = judge(sheet)
        if as_json:
            say_json(asdict(found))
        else:
            say_judged(sheet, found)


def say_judged(sheet: CaseSheet, found: Judged) -> None:
    """Print everything, worst known first within each part, cautions at the head."""
    out = Console(highlight=False, soft_wrap=True, markup=False, width=max(WIDTH, Console().width))
    invented = ", invented" if sheet.identity.invented else ""
    out.print(f"{found.case}{invented}, {found.side.upper()} shoulder: for a decision, not a decision.")
    for words in found.general:
        out.print(f"  {words}")
    _say_structure(out, found)
    out.print("Structure, each source:")
    for one in found.odds:
        _say_odds(out, one)
    out.print("Benefit, apart from structure:")
    for said in (*found.benefit, *found.statements):
        mark = "" if said.verified else UNVERIFIED
        out.print(f"  {said.words} [{said.edition}, {said.strength}, {said.source}]{mark}")
    out.print("A double row in published retears: " + "; ".join(found.double_row) + ".")
    out.print("Classes:")
    out.print(_classes(found.classes))
    out.print("Reasons to think twice:")
    for reason in found.reasons:
        mark = "" if reason.verified else UNVERIFIED
        out.print(f"  {reason.words} [{reason.strength}]{mark} Other ways: {', '.join(reason.others)}.")
    out.print("  None found in what is known." if not found.reasons else "  No others found in what is known.")
    if found.reasons_unknown:
        out.print(f"  Not asked yet, may hide a reason: {', '.join(found.reasons_unknown)}")
    for work in found.bone_work:
        told = "; ".join(f"{name}: {', '.join(each)}" for name, each in _signs(work.met, work.not_met, work.missing))
        out.print(f"{work.title}: {work.words} {told}. {' '.join(work.evidence)}")
    say_sources(out, found.facts, (one.source for one in (*found.benefit, *found.statements)))
    out.print(f"{len(found.facts)} facts of edition {found.edition}, version {found.version}.")
    out.print(SUPPORT)


def _say_structure(out: Console, found: Judged) -> None:
    if found.structure is not None:
        out.print(f"Not healed on imaging: {_span(found.structure)} over all sources below, not blended.", style="bold")
    if found.structure_read is not None:
        out.print(f"  over sources that were read: {_span(found.structure_read)}")
    counted = [one for one in found.odds if one.outcome == NOT_HEALED and one.low is not None]
    beyond = [one.title for one in counted if one.inside == "outside"]
    if beyond:
        out.print(f"  among them, with this patient outside of the people studied: {', '.join(beyond)}")


def _signs(*lists: tuple[str, ...]) -> list[tuple[str, tuple[str, ...]]]:
    names = ("present", "absent", "not known")
    return [(name, each) for name, each in zip(names, lists, strict=True) if each]


def _span(ends: tuple[float, float]) -> str:
    return f"{ends[0]:.1%} to {ends[1]:.1%}"


def _say_odds(out: Console, one: OddsAnswer) -> None:
    who, mark = one.population, "" if one.verified else UNVERIFIED
    out.print(f"  {one.title}: {one.words}{mark}")
    why = f" ({'; '.join(one.why_outside)})" if one.why_outside else ""
    out.print(
        f"    {who.people}; {who.imaging}, {who.when}; {who.year or 'no year'}, {who.source}; {WHERE[one.inside]}{why}"
    )
    if one.over_all_values_of:
        out.print(f"    over all values of what is missing: {', '.join(one.over_all_values_of)}")
    for words in one.cautions:
        out.print(f"    {words}")


def _classes(classes: tuple[ClassAnswer, ...]) -> Table:
    table = Table(box=None)
    for head in ("question", "scheme", "class", "rule"):
        table.add_column(head, overflow="fold")
    asked = ""
    for one in classes:
        value = one.value or f"{' or '.join(one.possible)}: needs {', '.join(one.missing)}"
        near = f" (within the spread also {', '.join(one.near)})" if one.near else ""
        mark = "" if one.verified else UNVERIFIED
        table.add_row("" if one.rivals == asked else one.rivals, one.title, value + near, one.rule + mark)
        asked = one.rivals
    return table
