"""``cuffwright practice FOLDER``: what a practice's own follow-ups add up to; no verdict on anybody."""

from dataclasses import asdict
from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from cuffwright.case.practice import Practice
from cuffwright.cli.followup import TodayOption
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import SUPPORT, say_json, say_sources, write_whole
from cuffwright.course.practice import practised
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from cuffwright.exchange.followup_file import open_followups
from cuffwright.exchange.practice_file import practice_csv

FolderArgument = Annotated[Path, typer.Argument(help="A folder of follow-up files, one TOML file a patient.")]
LimitOption = Annotated[float | None, typer.Option(help="The score at which the chart signals; that of the paper.")]
ReviewedOption = Annotated[
    list[datetime] | None,
    typer.Option(formats=["%Y-%m-%d"], help="A day on which a signal was reviewed; the chart starts anew after it."),
]
ChartOption = Annotated[Path | None, typer.Option("--csv", help="Where to write the chart as a table.")]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("practice")
    def _practice(
        folder: FolderArgument,
        today: TodayOption = None,
        limit: LimitOption = None,
        reviewed: ReviewedOption = None,
        csv: ChartOption = None,
        as_json: JsonOption = False,
    ) -> None:
        """Add follow-ups up: torn again with what lost patients may hide, published targets, a chart, no verdict."""
        found = practised(
            open_followups(folder),
            load_scores(),
            load_book(),
            today=today.date() if today else date.today(),
            limit=limit,
            reviewed=tuple(one.date() for one in reviewed or ()),
        )
        if csv is not None:
            write_whole(csv, practice_csv(found).encode("utf-8"))
        if as_json:
            say_json(asdict(found))
        else:
            say_practice(found)
            if csv is not None:
                print(f"Wrote {csv}.")


def say_practice(found: Practice) -> None:
    """Print the counts with their bounds first, then targets, chart, scores, events, cautions, sources."""
    out = Console(highlight=False, soft_wrap=True, markup=False)
    out.print(
        f"{found.repairs} repairs up to {found.today}: {found.due} old enough to be counted, {found.waiting} not yet."
    )
    _say_torn(out, found)
    _say_targets(out, found)
    _say_chart(out, found)
    if found.scores:
        out.print("Limits of scores reached at the last visit, each apart (defaults):")
    for one in found.scores:
        unknown = f"{one.unknown} not known ({one.source})"
        out.print(f"  {one.score}, {one.kind} {one.limit:g}: {one.reached} of {one.of}, {unknown}")
    if found.events:
        out.print("Patients with an event in the first half year:")
    for event in found.events:
        published = "" if event.published is None else f"; published {event.published:.1%} ({event.source})"
        interval = _span((event.interval.low, event.interval.high))
        out.print(f"  {event.kind}: {event.count} of {event.of}, 95 % interval {interval}{published}")
    for words in (*found.cautions, *found.general):
        out.print(f"  {words}")
    say_sources(out, found.facts, (one.source for one in found.scores))
    out.print(SUPPORT)


def _say_torn(out: Console, found: Practice) -> None:
    if found.bounds is None:
        out.print("Torn again: not computed, needs a repair that is old enough.")
        return
    ends = found.bounds
    seen = "not computed, none was seen" if ends.complete is None else f"{ends.complete:.1%}"
    out.print(f"Torn again: {found.failed} of {found.due}, {found.lost} lost.", style="bold")
    out.print(f"  Every lost one whole {ends.best:.1%}; of those seen {seen}; every lost one torn {ends.worst:.1%}.")
    if found.interval is not None:
        out.print(f"  95 % interval of those seen: {found.interval.low:.1%} to {found.interval.high:.1%}.")


def _say_targets(out: Console, found: Practice) -> None:
    if found.not_compared:
        out.print(f"{found.not_compared[0].upper()}{found.not_compared[1:]}.")
    for one in found.funnels:
        how = "counts" if one.exact else "normal curve"
        out.print(f"Against {one.target:.1%} ({one.people}; {one.source}): {one.where}.")
        out.print(
            f"  95 of 100 such practices would lie in {_span(one.inner)}, 998 of 1000 in {_span(one.outer)}, by {how};"
        )
        out.print(f"  this one lies {one.z:+.2f} standard errors from the target. [limits unverified]")


def _say_chart(out: Console, found: Practice) -> None:
    signals = [one for one in found.chart if one.signal]
    last = found.chart[-1] if found.chart else None
    if last is None:
        out.print("Chart: empty, needs a repair that is old enough, with its image and age.")
    else:
        out.print(
            f"Chart of {len(found.chart)} repairs, looking for {found.odds:g} times the odds of a failure, signal at"
            f" {found.limit:g}: score {last.score:.2f}, expected less seen {last.difference:+.2f}. [unverified]"
        )
        improved = "; it signals: fewer fail than their risks say" if last.improved else ""
        out.print(
            f"  Second chart, looking for {found.better_odds:g} times the odds, signal at {found.better_limit:g}:"
            f" score {last.better:.2f}{improved}."
        )
    if found.calibrated_on:
        out.print(
            f"  Risks moved by {found.shift:+.2f} (log odds) on the first {found.calibrated_on} repairs, left out."
        )
    for one in signals[:1]:
        out.print(
            f"  SIGNAL first at {one.patient}, {one.side}, {one.operation_date}: look at these cases.", style="bold"
        )
    for run in found.runs:
        out.print(
            f"  With the signal at {run.limit:g}, on these risks: a false alarm after {run.false_alarm:.0f} repairs on"
            f" average, {found.odds:g} times the odds found after {run.found:.0f}."
        )
    for words in found.left_out:
        out.print(f"  Not on the chart: {words}.")


def _span(ends: tuple[float, float]) -> str:
    return f"{ends[0]:.1%} to {ends[1]:.1%}"
