"""How the command line says things: tables on standard output, progress and refusals on standard error."""

import json
import os
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn
from rich.table import Table

from cuffwright.case.contact import Contact
from cuffwright.case.errors import FormatError
from cuffwright.case.hold import HoldResult, MemberLoad, ScenarioHold
from cuffwright.case.quantity import Interval
from cuffwright.case.sheet import CaseSheet
from cuffwright.evidence.book import load_book

SUPPORT = "Planning and teaching support, not for care; the surgeon decides."


WIDTH = 120
"""Columns of the printed tables where the terminal is narrower or there is none."""


class Ticker(Protocol):
    """Called with draws done and draws in all."""

    def __call__(self, done: int, of: int, /) -> None:
        """Show the progress."""


def say_wrong(sentence: str, code: int, as_json: bool) -> int:
    """Print a refusal as one sentence (or one JSON object) and return the exit code."""
    if as_json:
        print(json.dumps({"error": sentence}))
    else:
        print(sentence, file=sys.stderr)
    return code


def say_json(value: Any) -> None:
    """Print one JSON object; a day as year-month-day."""
    print(json.dumps(value, indent=1, default=_day))


def say_sources(out: Console, facts: Iterable[str], more: Iterable[str] = ()) -> None:
    """Print the source of each row of ``facts`` and of ``more`` source ids once: id, journal or page, year, address."""
    book = load_book()
    ids = dict.fromkeys((*(book.fact(key).source.source for key in facts), *more))
    out.print("Sources:")
    for name in sorted(ids):
        one = book.sources[name]
        out.print(f"  {name}: {one.citation}; {one.year or 'no year'}; {one.url}")


def _day(value: object) -> str:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no place in JSON")


@contextmanager
def progress(words: str) -> Iterator[Ticker]:
    """A progress bar on standard error that shows draws done; one line where that is no terminal."""
    if not sys.stderr.isatty():
        print(f"{words} ...", file=sys.stderr, flush=True)
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"))
    with Progress(*columns, TimeElapsedColumn(), console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=None)

        def tick(done: int, of: int, /) -> None:
            bar.update(task, completed=done, total=of)

        yield tick


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all; raises FormatError in one sentence when the place refuses it."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".half-")
        try:
            with os.fdopen(handle, "wb") as half:
                half.write(content)
            os.replace(name, path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as wrong:
        raise FormatError(f"{path} cannot be written: {os.strerror(wrong.errno or 0)}; choose another place") from None


def say_first(look: ScenarioHold) -> None:
    """Say an early look on standard error, while the draws go on."""
    words = (
        f"First look, {look.tissue} tissue, {look.bone} bone, few draws: {_span(look.ultimate)}, time zero, laboratory."
    )
    print(words, file=sys.stderr, flush=True)


def plain(result: HoldResult) -> dict[str, Any]:
    """The answer as the plain values that page, interface and print carry too."""
    return asdict(result)


def say_hold(sheet: CaseSheet, result: HoldResult, unverified: tuple[str, ...]) -> None:
    """Print an answer: whose and which side, the verdict, cautions, scenarios, members, contact, what it rests on."""
    out = Console(highlight=False, soft_wrap=True, markup=False, width=max(WIDTH, Console().width))
    invented = ", invented" if sheet.identity.invented else ""
    day = sheet.identity.operation_date
    out.print(
        f"{result.case}{invented}, {result.side.upper()} shoulder, operation {day or 'not dated'}: a plan, not done."
    )
    out.print(result.verdict, style="bold")
    for caution in result.cautions:
        out.print(f"{caution.severity.upper()}: {caution.text}" + (f" ({caution.where})" if caution.where else ""))
    middle = result.scenarios[len(result.scenarios) // 2]
    out.print(_scenarios(result))
    out.print(f"Members, {middle.tissue} tissue, {middle.bone} bone, at {middle.gap_load:g} N:")
    out.print(_members(middle))
    for words, contact in (("as tied", result.contact), (f"under {middle.gap_load:g} N", result.contact_loaded)):
        if contact is not None:
            out.print(_contact(words, contact))
    if result.body is not None:
        out.print(f"In the body and over time, {result.body.tissue} tissue, {result.body.bone} bone:")
        for words, _ in result.body.sentences:
            out.print(f"  {words}")
    if result.missing:
        out.print(f"Not known: {', '.join(result.missing)}")
    out.print(
        f"{len(result.facts)} facts of edition {result.edition}, {len(unverified)} of them unverified (memory or"
        f" assumed); {result.draws} draws, seed {result.seed}, version {result.version}, inputs"
        f" {result.input_hash[:12]}."
    )
    out.print(SUPPORT)


def _contact(words: str, contact: Contact) -> str:
    pairs = zip(contact.thresholds, contact.area_shares, strict=True)
    curve = ", ".join(f"{over:g} MPa {share:.0%}" for over, share in pairs)
    doubt = contact.area_interval
    ends = ""
    if doubt:
        told = "errors of model and tear width included"
        ends = f"; over {contact.threshold:g} MPa, {told}, {doubt.low:.0%} to {doubt.high:.0%}"
    return (
        f"Contact {words}: {contact.force:g} N, mean {contact.mean:g} MPa, peak {contact.peak:g} MPa; share of the torn"
        f" footprint over each threshold: {curve}{ends}"
    )


def _span(interval: Interval | None) -> str:
    if interval is None:
        return "not reached"
    return f"{interval.middle:g} ({interval.low:g} to {interval.high:g}) {interval.unit}"


def _scenarios(result: HoldResult) -> Table:
    table = Table("tissue", "bone", "ultimate, time zero, laboratory", "gap", "stiffness", "weakest", box=None)
    for one in result.scenarios:
        gap = f"{_span(one.gap)} at {one.gap_load:g} N, reached in {one.reached_share:.0%}"
        table.add_row(one.tissue, one.bone, _span(one.ultimate), gap, _span(one.stiffness), one.weakest)
    return table


def _members(scenario: ScenarioHold) -> Table:
    table = Table("", "name", "tied, N", "loaded", "bears, N", "gives way first", box=None)
    rows: tuple[MemberLoad, ...] = scenario.members
    for member in rows:
        table.add_row(
            member.kind,
            member.name,
            f"{member.tied:g}",
            _span(member.loaded),
            f"{member.capacity:g}",
            f"{member.first_share:.0%}",
        )
    return table
