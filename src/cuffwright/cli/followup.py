"""``cuffwright followup FILE.toml``: visits due, scores, change, healing by imaging; as a table on request."""

from dataclasses import asdict
from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from cuffwright.case.followup import FollowedUp
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import SUPPORT, say_json, say_sources, write_whole
from cuffwright.course.following import followed
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from cuffwright.exchange.followup_file import followup_csv, open_followup

FileArgument = Annotated[Path, typer.Argument(help="The follow-up of one patient, TOML.")]
TodayOption = Annotated[
    datetime | None, typer.Option(formats=["%Y-%m-%d"], help="The day to work from; default today.")
]
CsvOption = Annotated[Path | None, typer.Option("--csv", help="Where to write the table.")]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("followup")
    def _followup(
        file: FileArgument, today: TodayOption = None, csv: CsvOption = None, as_json: JsonOption = False
    ) -> None:
        """Say what is due, how the scores changed against each published limit, and whether the repair is whole."""
        day = today.date() if today else date.today()
        found = followed(open_followup(file), load_scores(), load_book(), today=day)
        if csv is not None:
            write_whole(csv, followup_csv(found).encode("utf-8"))
        if as_json:
            say_json(asdict(found))
        else:
            say_followup(found)
            if csv is not None:
                print(f"Wrote {csv}.")


def say_followup(found: FollowedUp) -> None:
    """Print due visits, scores, changes, imaging, complications, cautions."""
    print(
        f"{found.patient}, {found.side.upper()} shoulder, operation {found.operation_date}, worked out {found.today}."
    )
    for due in found.due:
        opens = f"any day up to {due.closes}" if due.opens == date.min else f"{due.opens} to {due.closes}"
        asks = " and ".join(name for name, asked in (("scores", due.scores), ("imaging", due.imaging)) if asked)
        print(f"  {due.name}: {due.state}, {opens}" + (f"; {asks}" if asks else ""))
    for visit in found.visits:
        for one in visit.scores:
            value = one.why if one.value is None else f"{one.value:g} of {one.top:g} {one.unit}, {one.best} is best"
            print(f"{visit.day}, week {visit.weeks:g}: {one.title}: {value}")
        for norm in visit.relative:
            mark = "" if norm.verified else " [unverified]"
            print(f"  Constant {norm.absolute:g}, {norm.percent:g} % of {norm.norm:g} by table {norm.table}{mark}")
    for day, change in found.changes:
        best = "" if change.possible_percent is None else f", {change.possible_percent:.1f} % of the possible"
        print(
            f"{day}: {change.name}, better above 0: "
            + (change.why if change.change is None else f"{change.change:+g}{best}")
        )
        for reached in change.reached:
            said = "not known" if reached.reached is None else "yes" if reached.reached else "no"
            limit = reached.threshold
            first = ", default" if limit.default else ""
            print(f"  {limit.kind} {limit.value:g} ({limit.source}{first}): {said}")
    for image in found.integrity:
        print(f"{image.day}: {image.words}" + ("" if image.verified else " [types unverified]"))
    for event in found.complications:
        print(f"{event.day}: complication, {event.kind} {event.words}".rstrip())
    for words in found.cautions:
        print(f"  {words}")
    limits = (one.threshold.source for _, change in found.changes for one in change.reached)
    scores = (one.source for visit in found.visits for one in visit.scores)
    say_sources(Console(highlight=False, soft_wrap=True, markup=False), found.facts, (*limits, *scores))
    print(SUPPORT)
