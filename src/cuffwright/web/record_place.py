"""The place Record: a page that fills itself, what is missing, signing, and the documents."""

from functools import partial
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from cuffwright.case.record import RecordLine
from cuffwright.exchange.record import papers, signature_faults
from cuffwright.exchange.record.drawing import draw_construct
from cuffwright.exchange.record.wording import wording
from cuffwright.theatre import lines
from cuffwright.theatre.admitting import can_be_withdrawn
from cuffwright.theatre.codes import icd_choices
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.lacking import missing
from cuffwright.web.operations import record_of
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.strengths import strengths
from cuffwright.web.theatre_orders import Moment, SignOrder
from cuffwright.web.theatre_place import OperationsHere, moment
from cuffwright.web.theatre_view import log_line
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

records = APIRouter()

FILES = {
    "record.pdf": ("pdf", "application/pdf"),
    "record.json": ("json", "application/json"),
    "record.fhir.json": ("fhir", "application/fhir+json"),
}


@records.get("/cases/{key}/record", include_in_schema=False)
def place(
    key: str, request: Request, cases: CasesHere, bench: BenchHere, operations: OperationsHere, language: str = "en"
) -> HTMLResponse:
    """The page."""
    board = cases.now(key).board
    operation = operations.standing(key, bench)
    record, words = record_of(key, board, operation), wording(language)
    drawn = draw_construct(operation)

    return page(
        request,
        "record.html",
        key=key,
        identity=identity_view(board.sheet.identity),
        loops=thread(key, "Record", missing(request, key, board)),
        words=words,
        record=record,
        operation=operation,
        log=[log_line(kept, operation) for kept in operation.entries if can_be_withdrawn(operation, kept)],
        every_line=lines(operations.now(key).operation),
        open_lines=[line for line in lines(operations.now(key).operation) if line.standing != "affirmed"],
        faults=signature_faults(partial(record_of, key, board), operation),
        field=field_of,
        drawing=drawn is not None,
        icd=icd_choices(operation, board.sheet.identity.side),
        language=language,
    )


@records.get("/cases/{key}/record/construct.svg", include_in_schema=False)
def construct(key: str, bench: BenchHere, operations: OperationsHere) -> Response:
    """The drawing of the construct."""
    drawn = draw_construct(operations.standing(key, bench))
    if drawn is None:
        raise Refusal(404, "there is no drawing without a repair pattern; choose one in Repair")
    return Response(drawn[0], media_type="image/svg+xml")


@records.get("/api/cases/{key}/record/{file}")
def download(key: str, file: str, bench: BenchHere, operations: OperationsHere, language: str = "en") -> Response:
    """A document of the record as it stands."""
    if file not in FILES:
        raise Refusal(404, f"there is no document {file[:40]!r}; there are {', '.join(FILES)}")
    what, kind = FILES[file]
    made = papers(operations.record(key, bench), operations.standing(key, bench), language)
    headers = {"Content-Disposition": f'attachment; filename="{key}.{file}"'}
    return Response(getattr(made, what), media_type=kind, headers=headers)


@records.get("/api/cases/{key}/bundle")
def bundle(key: str, cases: CasesHere) -> Response:
    """The whole case as a file, with the patient's key."""
    headers = {"Content-Disposition": f'attachment; filename="{key}.bundle"'}
    return Response(cases.bundle(key), media_type="application/x-ndjson", headers=headers)


@records.post("/api/cases/{key}/record/strength")
def strength(key: str, order: Moment, request: Request, cases: CasesHere, operations: OperationsHere) -> dict[str, Any]:
    """Work out the strength, planned and as done where that is affirmed, and keep it."""
    operation = operations.now(key).operation
    for entry in strengths(key, cases.now(key).board, operation, request.app.state.strengths):
        operations.enter(key, f"{order.id}-{entry.which}", entry, moment(order), "program")
    return {"seq": operations.now(key).seq}


@records.post("/api/cases/{key}/record/sign")
def sign(key: str, order: SignOrder, operations: OperationsHere) -> dict[str, Any]:
    """Sign the record and lock it."""
    return {"seq": operations.sign(key, order.id, order.person).seq}


def field_of(line: RecordLine) -> str:
    """The field a line states or lacks, to be typed; empty for lines that the log gives."""
    found = dict(line.fill).get("field", "") if line.words in {"stated", "missing"} else ""
    return "" if found.startswith("@field.tear.") else found.removeprefix("@field.")
