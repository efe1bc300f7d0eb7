"""``cuffwright report CASE.toml -o FILE.pdf``: the answer on three pages."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.case.hold import HoldResult
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.hold import CaseArgument, DrawsOption, JsonOption, LayoutOption, PatternOption, SeedOption, answer
from cuffwright.cli.printing import say_json, write_whole
from cuffwright.course.hold import DRAWS, prepare
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case, open_layout
from cuffwright.exchange.report import terrain_lines, write_report


def print_pages(sheet: CaseSheet, result: HoldResult, at: datetime) -> bytes:
    """The pages of ``result`` as PDF."""
    book = load_book()
    facts = {key: book.fact(key) for key in result.facts}
    terrain = terrain_lines(prepare(sheet, book).chart)
    return write_report(sheet, result, facts, terrain, made_at=at)


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("report")
    def _report(
        case: CaseArgument,
        out: Annotated[Path, typer.Option("-o", "--out", help="Where to write the PDF.")],
        pattern: PatternOption = None,
        layout: LayoutOption = None,
        draws: DrawsOption = DRAWS,
        seed: SeedOption = 1,
        as_json: JsonOption = False,
    ) -> None:
        """Write the report: footprint to scale, loads, the body, inputs, cautions, sources."""
        sheet = open_case(case)
        result = answer(sheet, pattern, draws, seed, open_layout(layout) if layout else None)
        write_whole(out, print_pages(sheet, result, datetime.now(UTC)))
        if as_json:
            say_json({"written": str(out), "input_hash": result.input_hash})
        else:
            print(f"Wrote {out}. {result.verdict}")
