"""The interface the page speaks, open to any program on this machine: cases and commands."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from cuffwright.exchange.case_file import read_case
from cuffwright.web.cases import Stale
from cuffwright.web.desk import BenchHere, CasesHere, demo
from cuffwright.web.orders import NewCase, Order, Trial, command
from cuffwright.web.refusal import Refusal
from cuffwright.web.repair_scene import repair_scene
from cuffwright.web.versions import shelf_view
from cuffwright.web.view import board_view, hold_view, patterns_view

api = APIRouter(prefix="/api")


@api.get("/cases")
def list_cases(cases: CasesHere) -> dict[str, Any]:
    """All cases, the last changed first."""
    return {"cases": [row.plain() for row in cases.rows()]}


@api.post("/cases", status_code=201)
def new_case(wanted: NewCase, request: Request, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """Open a new case from a demo case, the text of a case file, another case, or five measures."""
    if len(wanted.model_dump(exclude_none=True)) != 1:
        raise Refusal(422, "a new case needs one of demo, toml, copy_of and short, and no more; give one")
    if wanted.copy_of is not None:
        key = cases.copy(wanted.copy_of)
    elif wanted.short is not None:
        key = cases.open(wanted.short.sheet, bench)
    else:
        sheet = demo(request, wanted.demo) if wanted.demo is not None else read_case(wanted.toml or "")
        key = cases.open(sheet, bench)
    return {"key": key, "address": f"/cases/{key}/repair"}


@api.get("/cases/{key}")
def one_case(key: str, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """What stands in a case, its sequence number and the best answer at hand."""
    now = cases.now(key)
    return board_view(key, now.seq, now.board, bench)


@api.get("/cases/{key}/patterns")
def patterns(key: str, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """Every pattern laid on this tear."""
    return {"patterns": patterns_view(cases.now(key).board, bench)}


@api.get("/cases/{key}/scene", response_model=None)
def scene(key: str, cases: CasesHere, bench: BenchHere) -> JSONResponse:
    """The bone under the repair in three dimensions, and the chart as a lattice on it."""
    return JSONResponse(repair_scene(bench.prepared(cases.now(key).board.sheet)))


@api.get("/cases/{key}/versions")
def versions(key: str, cases: CasesHere, bench: BenchHere, against: str | None = None) -> dict[str, Any]:
    """The versions on the shelf, each with its answer as soon as it is settled; ask again for those that are not.

    How they differ is told against the version called ``against``, or against what stands.
    """
    now = cases.now(key)
    return {"seq": now.seq, "versions": shelf_view(key, now.board, bench, against)}


@api.post("/cases/{key}/commands", response_model=None)
def give_command(key: str, order: Order, cases: CasesHere, bench: BenchHere) -> dict[str, Any] | JSONResponse:
    """Make one change, once: the same command id sent again changes nothing more."""
    wanted = command(order.kind, order.payload)
    try:
        now = cases.give(key, order.id, order.expected, wanted, bench)
    except Stale as stale:
        view = board_view(key, stale.now.seq, stale.now.board, bench)
        return JSONResponse({"error": stale.sentence, "changed": stale.changed, "board": view}, 409)
    return board_view(key, now.seq, now.board, bench)


@api.post("/cases/{key}/try", response_model=None)
def try_change(key: str, trial: Trial, cases: CasesHere, bench: BenchHere) -> JSONResponse:
    """An estimate of a change while it is made; nothing is stored."""
    wanted = command(trial.kind, trial.payload)
    return JSONResponse({"hold": hold_view(bench.trial(key, cases.lately(key).board, wanted))})
