"""The place Tear: measures as sentences with their forms, and what a form writes into the case."""

from typing import Any
from urllib.parse import parse_qs

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Stale
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.images_readings import beside_the_case, standing_fields
from cuffwright.web.judgement_view import judgement_view
from cuffwright.web.lacking import missing
from cuffwright.web.measures import findings, measures, theatre
from cuffwright.web.measuring import SetMeasures
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.sheet_fields import ORIGINS, field_at, from_form
from cuffwright.web.spread_words import by_spread
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

tear_place = APIRouter(include_in_schema=False)


@tear_place.get("/cases/{key}/tear")
def tear(key: str, request: Request, cases: CasesHere, bench: BenchHere) -> HTMLResponse:
    """The page."""
    now = cases.now(key)
    board = now.board
    sheet = board.sheet
    return page(
        request,
        "tear.html",
        key=key,
        seq=now.seq,
        identity=identity_view(sheet.identity),
        loops=thread(key, "Tear", missing(request, key, board)),
        rows=measures(sheet),
        felt=theatre(sheet),
        found=findings(sheet),
        tear=sheet.tear,
        found_sizes=_sizes(sheet),
        origins=ORIGINS,
        holds=_holds(key, board, bench),
        seen=standing_fields(board),
        beside=beside_the_case(board),
        judged=judgement_view(sheet, bench.book),
    )


@tear_place.post("/cases/{key}/tear")
async def write(key: str, request: Request, cases: CasesHere, bench: BenchHere) -> Response:
    """Write what one form says, once, and show the page again."""
    form = _form(await request.body())
    path = _one(form, "path")
    wanted = SetMeasures({path: from_form(field_at(path), form)})
    expected = _one(form, "expected")
    if not expected.isdigit():
        raise Refusal(422, "the form lacks the number of the state it was made on; open the page again")

    def given() -> None:
        try:
            cases.give(key, cases.fresh_id(), int(expected), wanted, bench)
        except Stale as stale:
            raise Refusal(409, stale.sentence) from None

    await run_in_threadpool(given)
    return RedirectResponse(f"/cases/{key}/tear#{path}", 303)


def _sizes(sheet: CaseSheet) -> list[tuple[str, str, str]]:
    """Width and retraction: path, value, and what follows it with the spread."""
    parts = (
        ("width_mm", sheet.tear.width_mm, "front to back"),
        ("retraction_mm", sheet.tear.retraction_mm, "retracted"),
    )
    said = []
    for name, size, words in parts:
        if size is not None:
            middle, sd = by_spread(size.value, size.sd)
            said.append((f"tear.{name}", f"{middle} mm", f"{words} ({f'SD {sd} mm' if sd else 'SD not given'})"))
    return said


def _holds(key: str, board: Board, bench: Bench) -> dict[str, Any]:
    """What the repair that stands will hold by tissue, as far as it is known; shown beside what theatre will tell."""
    layout = board.layout
    known = bench.settling.known(key, bench.job_key(board, layout)) if layout else None
    return {one.tissue: one.ultimate for one in known.scenarios} if known else {}


def _form(body: bytes) -> dict[str, list[str]]:
    try:
        return parse_qs(body.decode("utf-8"), max_num_fields=20)
    except (UnicodeDecodeError, ValueError):
        raise Refusal(422, "the form cannot be read; open the page again and try once more") from None


def _one(form: dict[str, list[str]], name: str) -> str:
    values = form.get(name, [])
    if len(values) != 1:
        raise Refusal(422, f"the form lacks its field {name}; open the page again and try once more")
    return values[0]
