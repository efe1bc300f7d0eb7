"""``cuffwright score NAME ANSWERS``: a score from numbered answers; no wording of any question."""

from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from cuffwright.case.score import ScoreResult, ScoreTable
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import SUPPORT, say_json, say_sources
from cuffwright.course.general import GENERAL
from cuffwright.evidence.score_files import score_table
from cuffwright.exchange.followup_file import open_answers
from cuffwright.outcome.scoring import score

NameArgument = Annotated[
    str, typer.Argument(help="The score: ases, constant, sst, sane, vas, worc, oss, quickdash, ucla.")
]
AnswersArgument = Annotated[Path, typer.Argument(help="The answers, TOML: a number or a list for each part.")]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("score")
    def _score(name: NameArgument, answers: AnswersArgument, as_json: JsonOption = False) -> None:
        """Work out a score from numbered answers, or say why there is none."""
        table = score_table(name)
        found = score(table, open_answers(answers, name))
        if as_json:
            say_json({**asdict(found), "formula": table.formula, "general": GENERAL})
        else:
            say_score(table, found)


def say_score(table: ScoreTable, found: ScoreResult) -> None:
    """Print value, range, direction, parts, limits, and what qualifies it."""
    mark = "" if found.verified else " [formula from memory, unverified]"
    if found.value is None:
        print(f"{found.title}: {found.why}")
    else:
        print(
            f"{found.title}: {found.value:g} {found.unit}, {found.low:g} to {found.top:g}, {found.best} is best{mark}"
        )
    for name, points in found.parts:
        print(f"  {name}: {'not computed' if points is None else f'{points:g}'}")
    for words in found.notes:
        print(f"  {words}")
    print(f"Formula: {table.formula}. Missing: {table.missing_rule}. Rights: {table.licence}.")
    if table.thresholds:
        print("Published limits of a change (mcid least that matters, scb much) and of a state (pass), each apart:")
    for limit in table.thresholds:
        sure = "" if limit.verified else " [unverified]"
        first = "" if not limit.default else " (default)"
        people = limit.people.removesuffix(", default").removesuffix("default")
        who = f", {people}" if people else ""
        print(f"  {limit.kind} {limit.value:g}{first}: {limit.year}, {limit.source}{who}{sure}")
    for words in GENERAL:
        print(f"  {words}")
    say_sources(Console(highlight=False, soft_wrap=True, markup=False), (), _sources(table))
    print(SUPPORT)


def _sources(table: ScoreTable) -> tuple[str, ...]:
    return (table.source, *(limit.source for limit in table.thresholds))
