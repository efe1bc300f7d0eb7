"""``cuffwright consent CASE.toml``: the patient's sheet for the talk before a decision, as text or PDF."""

from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.cli.hold import CaseArgument, JsonOption
from cuffwright.cli.odds import judge
from cuffwright.cli.printing import say_json, write_whole
from cuffwright.course.consent import consent_sheet
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case
from cuffwright.exchange.sheets import sheet_text, write_sheet

OutOption = Annotated[Path | None, typer.Option("-o", "--out", help="Where to write the PDF; without it text.")]
LargeOption = Annotated[bool, typer.Option("--large-print", help="18 points instead of 12.")]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("consent")
    def _consent(
        case: CaseArgument, out: OutOption = None, large: LargeOption = False, as_json: JsonOption = False
    ) -> None:
        """Write the sheet for the patient: plain words, people out of a hundred, every rate with its source."""
        sheet = open_case(case)
        made = consent_sheet(sheet, judge(sheet), load_book())
        if out is not None:
            write_whole(out, write_sheet(made, made_at=datetime.now(UTC), large=large))
        if as_json:
            say_json({**asdict(made), "written": None if out is None else str(out)})
        elif out is None:
            print(sheet_text(made), end="")
        else:
            print(f"Wrote {out}. Reading grade {made.grade:g}.")
