"""The place Follow-up: the patient over time, what a form writes into the record, and what is printed."""

from datetime import UTC, date, datetime
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from cuffwright.case.errors import CaseError
from cuffwright.case.hold import HoldResult
from cuffwright.case.rehab import Release
from cuffwright.course.board import Board, Redo, Undo
from cuffwright.course.caring import ReleaseSheets, WriteCare
from cuffwright.course.releasing import released_sheets, still_released
from cuffwright.exchange.followup_file import followup_csv
from cuffwright.exchange.sheets import write_sheet
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Stale
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.followup_orders import Form, wanted
from cuffwright.web.followup_view import digest, followup_view, planned, worked_out
from cuffwright.web.lacking import missing
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

followup = APIRouter(include_in_schema=False)

UNDATED = frozenset({"protocol", "protocol-file", "as-planned", "without-visit", "without-complication"})
"""Forms that need no day of the operation, and that mend a record which contradicts it."""

Reader = Literal["patient", "therapist"]


@followup.get("/cases/{key}/followup")
def place(key: str, request: Request, cases: CasesHere, bench: BenchHere) -> HTMLResponse:
    """The page."""
    now = cases.now(key)
    board = now.board
    hold, waiting = _hold(key, board, bench)
    return page(
        request,
        "followup.html",
        key=key,
        seq=now.seq,
        identity=identity_view(board.sheet.identity),
        loops=thread(key, "Follow-up", missing(request, key, board)),
        undo=board.undo,
        redo=board.redo,
        waiting=waiting,
        **followup_view(board, bench.book, hold, date.today()),
    )


@followup.post("/cases/{key}/followup/{what}")
async def write(key: str, what: str, request: Request, cases: CasesHere, bench: BenchHere) -> Response:
    """Write what one form says, once, and show the page again."""
    form = Form(await request.body())
    expected = form.text("expected")
    if not expected.isdigit():
        raise Refusal(422, "the form lacks the number of the state it was made on; open the page again")

    def given() -> None:
        command = _command(what, form, key, cases.now(key).board, bench)
        try:
            cases.give(key, cases.fresh_id(), int(expected), command, bench)
        except Stale as stale:
            raise Refusal(409, stale.sentence) from None

    await run_in_threadpool(given)
    return RedirectResponse(f"/cases/{key}/followup", 303)


@followup.get("/cases/{key}/followup.csv")
def table(key: str, cases: CasesHere, bench: BenchHere) -> Response:
    """The follow-up as a table."""
    board = cases.now(key).board
    words = followup_csv(worked_out(board, board.stand.care, bench.book, date.today()))
    head = {"Content-Disposition": f'attachment; filename="follow-up-{board.sheet.identity.side}.csv"'}
    return Response(words, media_type="text/csv; charset=utf-8", headers=head)


@followup.get("/cases/{key}/rehabilitation/{reader}.pdf")
def sheet(key: str, reader: Reader, cases: CasesHere, large: bool = False) -> Response:
    """A sheet as the surgeon released it; refused before the release and after it lapsed."""
    board = cases.now(key).board
    try:
        sheets = still_released(board.stand.released, digest(board))
    except CaseError as wrong:
        raise Refusal(409, str(wrong)) from None
    made = sheets.patient if reader == "patient" else sheets.therapist
    name = f"rehabilitation-{reader}-{made.side}{'-large-print' if large else ''}.pdf"
    head = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(
        write_sheet(made, made_at=datetime.now(UTC), large=large), media_type="application/pdf", headers=head
    )


def _command(what: str, form: Form, key: str, board: Board, bench: Bench) -> Undo | Redo | WriteCare | ReleaseSheets:
    if what in {"undo", "redo"}:
        return Undo() if what == "undo" else Redo()
    if what == "release":
        return _released(form, key, board, bench)
    operation = board.sheet.identity.operation_date
    if operation is None and what not in UNDATED:
        raise Refusal(422, "the record needs the day of the operation; set it on Tear")
    command = wanted(what, form, board.stand.care, operation or date.max)
    if operation is not None and what not in UNDATED:
        worked_out(board, command.care, bench.book, date.today())
    return command


def _released(form: Form, key: str, board: Board, bench: Bench) -> ReleaseSheets:
    hold, waiting = _hold(key, board, bench)
    if waiting:
        raise Refusal(409, "what the repair holds is still being worked out, and may delay a step; wait a moment")
    release = Release(form.text("by"), date.today(), form.text("delays") == "yes")
    plan = planned(board, bench.book, hold, release)
    return ReleaseSheets(
        released_sheets(board.sheet, plan, bench.book, call=form.text("call"), of=digest(board)),
    )


def _hold(key: str, board: Board, bench: Bench) -> tuple[HoldResult | None, bool]:
    """What the repair holds, settled, and whether it is still being worked out; a job that failed is not waited for."""
    if board.layout is None:
        return None, False
    job = bench.job_key(board, board.layout)
    known = bench.settling.known(key, job)
    if known is None and bench.settling.failed(job) is None:
        bench.settle(key, board, board.layout)
        return None, True
    return known, False
