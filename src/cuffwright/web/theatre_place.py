"""The place Theatre: its page, and what it enters."""

from datetime import datetime
from typing import Annotated, Any, cast

from fastapi import APIRouter, Depends, Request
from fastapi.responses import FileResponse, HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from cuffwright.case.entry import Addendum, Coded, ImplantEntered, Stated
from cuffwright.course.theatre_sheet import theatre_sheet
from cuffwright.exchange.implants import read_label, read_photograph
from cuffwright.exchange.sheets import write_sheet
from cuffwright.exchange.theatre import entry_from_plain
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.lacking import missing
from cuffwright.web.older_repair import older_view
from cuffwright.web.operations import Operations, confirmed
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import HERE, page
from cuffwright.web.strengths import present
from cuffwright.web.theatre_orders import EntryOrder, ImplantOrder, LabelOrder, Moment, Opening, ReplanOrder
from cuffwright.web.theatre_view import label_view, theatre_view
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

theatre = APIRouter()


def the_operations(request: Request) -> Operations:
    """The operations of this server."""
    operations: Operations = request.app.state.operations
    return operations


OperationsHere = Annotated[Operations, Depends(the_operations)]


@theatre.get("/cases/{key}/theatre", include_in_schema=False)
def place(key: str, request: Request, cases: CasesHere, bench: BenchHere) -> HTMLResponse:
    """The page."""
    board = cases.now(key).board
    shown = {"identity": identity_view(board.sheet.identity), "older": older_view(board, bench)}
    loops = thread(key, "Theatre", missing(request, key, board))
    return page(request, "theatre.html", key=key, loops=loops, **shown)


@theatre.get("/theatre-worker.js", include_in_schema=False)
def worker() -> FileResponse:
    """What keeps Theatre in the browser through an outage; at the top, so that it may see its pages."""
    file = HERE / "static" / "built" / "theatreworker.js"
    if not file.is_file():
        raise Refusal(404, "the front end is not built; run npm ci and npm run build in front/")
    return FileResponse(file, media_type="text/javascript")


@theatre.get("/api/cases/{key}/theatre")
def standing(key: str, cases: CasesHere, bench: BenchHere, operations: OperationsHere) -> dict[str, Any]:
    """What stands: steps, lines, implants, log."""
    log, board = operations.now(key), cases.now(key).board
    opening = log.operation.opening or operations.plan(board, bench)
    return theatre_view(log.seq, log.operation, opening, board.layout, operations.stock())


@theatre.get("/api/cases/{key}/theatre/sheet.pdf")
def sheet(key: str, cases: CasesHere, bench: BenchHere, operations: OperationsHere) -> Response:
    """The theatre sheet of the evening before, for the assistant."""
    board = cases.now(key).board
    order = operations.order(board)
    steps = order.steps if order else None
    made = theatre_sheet(board.sheet, board.layout, operations.template(), operations.stock(), bench.book, steps)
    headers = {"Content-Disposition": f'attachment; filename="{key}.theatre.pdf"'}
    return Response(write_sheet(made, made_at=cases.clock()), media_type="application/pdf", headers=headers)


@theatre.post("/api/cases/{key}/theatre/open")
def open_theatre(
    key: str, order: Opening, cases: CasesHere, bench: BenchHere, operations: OperationsHere
) -> dict[str, Any]:
    """Confirm identity and side, and open theatre on the plan as it stands."""
    plan = confirmed(operations.plan(cases.now(key).board, bench), order.patient, order.side, order.person)
    operations.enter(key, order.id, plan, moment(order), "surgeon")
    return standing(key, cases, bench, operations)


@theatre.post("/api/cases/{key}/theatre/replan")
def replan(
    key: str, order: ReplanOrder, cases: CasesHere, bench: BenchHere, operations: OperationsHere
) -> dict[str, Any]:
    """Follow the plan that stands in Repair from now on."""
    operations.follow(key, order.id, order.reason, moment(order), bench)
    return standing(key, cases, bench, operations)


@theatre.post("/api/cases/{key}/theatre/limbs")
def plan_limbs(
    key: str, order: Moment, cases: CasesHere, bench: BenchHere, operations: OperationsHere
) -> dict[str, Any]:
    """Plan the limbs anew from where the log has them; where that cannot be, the answer says why."""
    _, refused = operations.plan_anew(key, order.id, moment(order))
    found = standing(key, cases, bench, operations)
    return {**found, "limbs_refused": refused}


@theatre.post("/api/cases/{key}/theatre/entries")
def enter(
    key: str, order: EntryOrder, cases: CasesHere, bench: BenchHere, operations: OperationsHere
) -> dict[str, Any]:
    """Keep an entry, once."""
    entry = entry_from_plain(order.kind, order.entry)
    role = "surgeon" if isinstance(entry, Stated | Coded | Addendum) else "theatre"
    operations.enter(key, order.id, entry, moment(order), role)
    return standing(key, cases, bench, operations)


@theatre.post("/api/cases/{key}/theatre/implants")
def implant(
    key: str, order: ImplantOrder, cases: CasesHere, bench: BenchHere, operations: OperationsHere
) -> dict[str, Any]:
    """Keep an implant by its label, at its place or only opened."""
    label = read_label(order.text, operations.today())
    stock = operations.stock()
    item = stock.of(label) if stock else None
    named = (item.key, item.kind) if item else ("", "")
    entry = ImplantEntered(order.implant, order.place, label, *named, order.expired_reason)
    operations.enter(key, order.id, entry, moment(order), "theatre")
    return standing(key, cases, bench, operations)


@theatre.get("/api/cases/{key}/theatre/hold")
def hold(key: str, request: Request, cases: CasesHere, operations: OperationsHere) -> dict[str, Any]:
    """What the repair would hold as it stands, in a sentence, as far as it is worked out; never waits."""
    log = operations.now(key)
    return {"seq": log.seq, **present(key, cases.now(key).board, log.operation, request.app.state.strengths)}


@theatre.post("/api/cases/{key}/theatre/hold/stop")
def stop_hold(key: str, request: Request, cases: CasesHere) -> dict[str, Any]:
    """Stop working out the strength; asking for it again takes it up again."""
    cases.now(key)
    request.app.state.strengths.stop(key)
    return {"stopped": True}


@theatre.post("/api/cases/{key}/theatre/label")
def label_read(key: str, order: LabelOrder, cases: CasesHere, operations: OperationsHere) -> dict[str, Any]:
    """Read a label and keep nothing."""
    cases.now(key)
    today = operations.today()
    label = read_label(order.text, today)
    opening = operations.now(key).operation.opening
    return {"label": label_view(label, operations.stock(), label.shelf(opening.day if opening else today))}


@theatre.post("/api/cases/{key}/theatre/photograph")
async def photograph(key: str, request: Request, cases: CasesHere) -> dict[str, Any]:
    """The codes on a photograph of a label, as a scanner would send them; nothing is kept."""
    cases.now(key)
    content = await request.body()
    return {"codes": cast("list[str]", await run_in_threadpool(read_photograph, content))}


def moment(order: Moment) -> datetime:
    """When it happened; raises Refusal 422 when that is no moment with a zone."""
    at = order.at
    if at is None:
        raise Refusal(422, "happened: give a moment with its zone, such as 2026-08-01T09:30:00+02:00")
    return at
