"""``cuffwright theatre CASE.toml``: the theatre sheet of the evening before, as text or PDF."""

from contextlib import suppress
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.case.errors import CuffError
from cuffwright.case.fact import FactBook
from cuffwright.case.limb_plan import LimbStep
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.hold import CaseArgument, JsonOption, PatternOption
from cuffwright.cli.printing import say_json, write_whole
from cuffwright.course.hold import lay, prepare
from cuffwright.course.limbs import limbs_of
from cuffwright.course.theatre_sheet import theatre_sheet
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case
from cuffwright.exchange.implants import open_stock
from cuffwright.exchange.sheets import sheet_text, write_sheet
from cuffwright.exchange.theatre import open_template, usual_template

OutOption = Annotated[Path | None, typer.Option("-o", "--out", help="Where to write the PDF; without it text.")]
StockOption = Annotated[Path | None, typer.Option(help="The stock of implants, TOML.")]
TemplateOption = Annotated[Path | None, typer.Option(help="A template of the operation, TOML; default: the usual one.")]


def _limbs(sheet: CaseSheet, book: FactBook, pattern: str | None) -> tuple[LimbStep, ...] | None:
    """The steps of the plan of limbs, or None where none can be planned."""
    if pattern is None:
        return None
    with suppress(CuffError):
        plan = limbs_of(sheet, book, pattern=pattern).plan
        return plan.steps if plan else None
    return None


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("theatre")
    def _theatre(
        case: CaseArgument,
        out: OutOption = None,
        pattern: PatternOption = None,
        stock: StockOption = None,
        template: TemplateOption = None,
        as_json: JsonOption = False,
    ) -> None:
        """Write the sheet for the assistant: what to lay out, what stays closed until called, the steps."""
        sheet, book = open_case(case), load_book()
        chosen = pattern or sheet.plan.pattern
        layout = lay(prepare(sheet, book), chosen) if chosen else None
        kept = open_stock(stock) if stock else None
        usual = open_template(template) if template else usual_template()
        made = theatre_sheet(sheet, layout, usual, kept, book, _limbs(sheet, book, chosen))
        if out is not None:
            write_whole(out, write_sheet(made, made_at=datetime.now(UTC)))
        if as_json:
            say_json({**asdict(made), "written": None if out is None else str(out)})
        elif out is None:
            print(sheet_text(made), end="")
        else:
            print(f"Wrote {out}.")
