"""``cuffwright prove``: every published bench beside ours, and how far to believe it."""

import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from cuffwright.cli.hold import JsonOption, SeedOption
from cuffwright.cli.printing import progress, say_json, write_whole
from cuffwright.course.proof.error import measured_errors
from cuffwright.course.proof.prove import DRAWS, prove
from cuffwright.course.proof.row import Proof
from cuffwright.evidence.bench_files import load_benches
from cuffwright.evidence.book import load_book
from cuffwright.exchange.proof_page import LEGEND, band, mark, markdown, number, skill_words, span

DrawsOption = Annotated[int, typer.Option(min=100, max=100_000, help="Monte-Carlo draws per construct.")]
WIDE = 200
"""Columns of the table, whatever the terminal: a cut row would hide a miss."""
PageOption = Annotated[Path | None, typer.Option("--page", help="Also write the page of the papers to this file.")]


def say_proof(proof: Proof) -> None:
    """Print the table, the sums and the model's error."""
    out = Console(highlight=False, soft_wrap=True, markup=False, width=WIDE)
    heads = ("", "quantity", "published", "band", "ours", "set-ups", "factor on", "null", "role", "")
    table = Table(*heads, box=None, show_edge=False, pad_edge=False)
    for row in proof.rows:
        ours = number(row.computed) if row.computed is not None else f"not computed, needs {row.needs}"
        table.add_row(
            row.id,
            f"{row.quantity}, {row.unit}",
            number(row.published),
            band(row),
            ours,
            span(row.setup_low, row.setup_high),
            number(row.contested),
            number(row.null_model),
            row.role,
            mark(row),
        )
    out.print(table)
    out.print(LEGEND)
    say_sums(proof, out)


def say_sums(proof: Proof, out: Console) -> None:
    """Print how many rows pass, the misfits of ours and of the null models, and the measured error."""
    for role, (within, outside, open_) in proof.counts.items():
        out.print(f"{role}: {within} within the band, {outside} outside, {open_} not computed")
    for skill in proof.skills:
        out.print(skill_words(skill))
    for error in measured_errors(proof):
        blind = "none" if error.blind is None else f"{error.blind:.2f}"
        out.print(
            f"{error.key}: SD of ln(ours / published) {blind} on blind rows, {error.unfitted:.2f} on all not fitted"
        )
    out.print(f"{proof.draws} draws, seed {proof.seed}, version {proof.version}, edition {proof.edition}")


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("prove")
    def _prove(
        draws: DrawsOption = DRAWS,
        seed: SeedOption = 1,
        page: PageOption = None,
        as_json: JsonOption = False,
    ) -> None:
        """Set every published bench up again: published, band, ours, role, within or missed, null model beside it."""
        book = load_book()
        with progress("benches") as tick:
            proof = prove(load_benches(), book, draws=draws, seed=seed, progress=tick)
        if page is not None:
            write_whole(page, markdown(proof, load_benches(), book).encode())
        if as_json:
            say_json([row.plain for row in proof.rows])
            say_sums(proof, Console(file=sys.stderr, highlight=False, soft_wrap=True, markup=False))
        else:
            say_proof(proof)
