"""``cuffwright record CASE|BUNDLE -o DIR``: the record as PDF, JSON and FHIR bundle, sealed; and the check of one."""

import tempfile
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.archive import open_archive
from cuffwright.case.errors import FormatError, OutsideValidity
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import say_json, write_whole
from cuffwright.course.board import Board
from cuffwright.course.hold import lay, prepare
from cuffwright.course.stand import Stand
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case
from cuffwright.exchange.record import check_folder, papers, signature_faults, write_folder
from cuffwright.exchange.record.page import BEFORE
from cuffwright.exchange.theatre import usual_template
from cuffwright.theatre import Operation, fold
from cuffwright.web.ledger import board_of
from cuffwright.web.operations import operation_of, plan_of, planned, record_of

BUNDLE = b'{"case":'
"""How a bundle begins."""

LARGEST = 200_000_000
"""Numerical choice: a file of more bytes than this is not read."""

SourceArgument = Annotated[Path, typer.Argument(help="A case file (TOML) or a bundle of a stored case.")]
OutOption = Annotated[Path, typer.Option("-o", "--out", help="Folder for the documents.")]
LanguageOption = Annotated[str, typer.Option(help="Language of the words: en or de.")]
CheckOption = Annotated[
    bool, typer.Option("--check", help="Write nothing; compare the folder with what the case gives.")
]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("record")
    def _record(
        source: SourceArgument,
        out: OutOption,
        language: LanguageOption = "en",
        check: CheckOption = False,
        as_json: JsonOption = False,
    ) -> None:
        """Write the record of an operation, or check a written one against its case."""
        case, board, operation = opened(source)
        faults = signature_faults(partial(record_of, case, board), operation)
        record = record_of(case, board, operation)
        files = write_folder(papers(record, operation, language))
        if check:
            faults += check_folder(out, files)
        if faults:
            raise FormatError("; ".join(faults))
        if not check:
            for name, content in files.items():
                write_whole(out / name, content)
        state = "draft" if operation.signature is None else "signed"
        if as_json:
            say_json({"folder": str(out), "state": state, "missing": list(record.missing), "checked": check})
        else:
            print(f"{'Checked' if check else 'Wrote'} {out}: {state}, {len(record.missing)} contents missing.")


def opened(source: Path) -> tuple[str, Board, Operation]:
    """The key, board and operation of a case file or bundle; without a log, the plan that nobody confirmed.

    Raises
    ------
    FormatError, CaseError, ArchiveError
        When it cannot be read, was altered, or its key is not in it.
    """
    start = _start(source)
    case, board, operation = _bundle(source) if start == BUNDLE else (source.stem, _board(source), fold(()))
    if operation.opening is None:
        book = load_book()
        plan = plan_of(board, lambda sheet: prepare(sheet, book), usual_template(), BEFORE.date())
        operation = planned(operation, plan, BEFORE)
    return case, board, operation


def _start(source: Path) -> bytes:
    try:
        if source.stat().st_size > LARGEST:
            raise FormatError(f"{source.name} has more than {LARGEST} bytes; choose a case file or a bundle")
        with source.open("rb") as file:
            return file.read(len(BUNDLE))
    except OSError:
        raise FormatError(f"{source} cannot be read; choose a case file or a bundle") from None


def _bundle(source: Path) -> tuple[str, Board, Operation]:
    with tempfile.TemporaryDirectory() as folder, open_archive(Path(folder)) as archive:
        line = archive.import_bundle(source.read_bytes())
        events = archive.events(line.case)
        operation = operation_of(events)
        return line.case, board_of(events)[0], operation


def _board(source: Path) -> Board:
    sheet = open_case(source)
    layout = None
    with suppress(OutsideValidity):
        if sheet.plan.pattern:
            layout = lay(prepare(sheet, load_book()), sheet.plan.pattern)
    return Board(sheet, Stand(layout))
