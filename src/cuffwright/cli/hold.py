"""``cuffwright hold CASE.toml``: what the repair will hold."""

from pathlib import Path
from typing import Annotated

import typer

from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.printing import plain, progress, say_first, say_hold, say_json
from cuffwright.course.hold import DRAWS, hold, unverified
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case, open_layout

CaseArgument = Annotated[Path, typer.Argument(help="The case file, TOML.")]
PatternOption = Annotated[str | None, typer.Option(help="Repair pattern; default: the one the case names.")]
DrawsOption = Annotated[int, typer.Option(min=100, max=100_000, help="Monte-Carlo draws per scenario.")]
SeedOption = Annotated[int, typer.Option(min=0, help="Seed of the draws; the same seed gives the same answer.")]
LayoutOption = Annotated[Path | None, typer.Option(help="A layout as JSON, as the page's interface gives it.")]
JsonOption = Annotated[bool, typer.Option("--json", help="One JSON object on standard output.")]


def answer(sheet: CaseSheet, pattern: str | None, draws: int, seed: int, layout: Layout | None = None) -> HoldResult:
    """Work out the answer with a progress bar on standard error."""
    with progress("drawing") as tick:
        return hold(
            sheet,
            load_book(),
            pattern=pattern,
            layout=layout,
            draws=draws,
            seed=seed,
            progress=tick,
            first=say_first,
        )


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("hold")
    def _hold(
        case: CaseArgument,
        pattern: PatternOption = None,
        layout: LayoutOption = None,
        draws: DrawsOption = DRAWS,
        seed: SeedOption = 1,
        as_json: JsonOption = False,
    ) -> None:
        """Say what the repair will hold: contact, loads, gap, ultimate load with interval, weakest link."""
        sheet = open_case(case)
        result = answer(sheet, pattern, draws, seed, open_layout(layout) if layout else None)
        if as_json:
            say_json(plain(result))
        else:
            say_hold(sheet, result, unverified(load_book(), result))
