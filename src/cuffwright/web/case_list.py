"""The case list, and what its plain forms do."""

from collections.abc import Mapping
from datetime import UTC, datetime
from urllib.parse import parse_qs

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from cuffwright.course.board import BringBack, PutAway
from cuffwright.web.cases import Row, Stale
from cuffwright.web.desk import BenchHere, CasesHere, demo
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import age, page
from cuffwright.web.sheet_fields import sheet_fields
from cuffwright.web.short_path import short_form

LONGEST_SEARCH = 80
"""Numerical choice: characters of what is searched for."""

listing = APIRouter(include_in_schema=False)


@listing.get("/")
def case_list(request: Request, cases: CasesHere, bench: BenchHere, q: str = "") -> HTMLResponse:
    """The case list, or those of its cases in which every word of ``q`` stands."""
    now = datetime.now(UTC)
    titles = bench.holding.patterns()
    every = cases.rows()
    rows = [{**row.plain(), "age": age(row.changed, now)} for row in every if _holds(row, q, titles)]
    shapes = next(one.words for one in sheet_fields().values() if one.path == "tear.shape")
    return page(
        request,
        "cases.html",
        rows=rows,
        every=len(every),
        q=q[:LONGEST_SEARCH],
        demos=request.app.state.demos,
        titles=titles,
        shapes=shapes,
    )


def _holds(row: Row, words: str, titles: Mapping[str, str]) -> bool:
    pattern = titles.get(row.pattern or "", row.pattern or "")
    text = f"{row.title} {row.patient} {row.side} {row.operation_date or ''} {pattern}".lower()
    return all(word in text for word in words[:LONGEST_SEARCH].lower().split())


@listing.post("/cases")
async def open_demo(request: Request, cases: CasesHere, bench: BenchHere) -> Response:
    """Open a demo case from the plain form."""

    name = _field(await request.body(), "demo")

    def opened() -> str:
        return cases.open(demo(request, name), bench)

    key = await run_in_threadpool(opened)
    return RedirectResponse(f"/cases/{key}/repair", 303)


@listing.post("/cases/short")
async def open_short(request: Request, cases: CasesHere, bench: BenchHere) -> Response:
    """Open a case from the five measures of the plain form."""
    wanted = short_form(await request.body())
    key = await run_in_threadpool(lambda: cases.open(wanted.sheet, bench))
    return RedirectResponse(f"/cases/{key}/repair", 303)


@listing.post("/cases/{key}/copy")
def copy(key: str, cases: CasesHere) -> Response:
    """Copy a case from the plain form, and open the copy."""
    return RedirectResponse(f"/cases/{cases.copy(key)}/repair", 303)


@listing.post("/cases/{key}/archive")
def put_away(key: str, cases: CasesHere, bench: BenchHere) -> Response:
    """Archive a case from the plain form."""
    return _moved(key, PutAway(), cases, bench)


@listing.post("/cases/{key}/restore")
def bring_back(key: str, cases: CasesHere, bench: BenchHere) -> Response:
    """Bring a case back from the archive from the plain form."""
    return _moved(key, BringBack(), cases, bench)


def _moved(key: str, wanted: PutAway | BringBack, cases: CasesHere, bench: BenchHere) -> Response:
    now = cases.now(key)
    if now.board.archived != isinstance(wanted, PutAway):
        try:
            cases.give(key, cases.fresh_id(), now.seq, wanted, bench)
        except Stale as stale:
            raise Refusal(409, stale.sentence) from None
    return RedirectResponse("/", 303)


def _field(body: bytes, name: str) -> str:
    try:
        values = parse_qs(body.decode("utf-8"), max_num_fields=8).get(name, [])
    except (UnicodeDecodeError, ValueError):
        values = []
    if len(values) != 1:
        raise Refusal(422, f"the form lacks its field {name}; go back to the case list and try again")
    return values[0]
