"""The places of one case as pages; the repair map is brought to life by the front end."""

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, HTMLResponse

from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.judgement_view import judgement_view
from cuffwright.web.lacking import missing
from cuffwright.web.measures import measures
from cuffwright.web.rendering import HERE, page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

pages = APIRouter(include_in_schema=False)


@pages.get("/cases/{key}/repair")
def repair(key: str, request: Request, cases: CasesHere) -> HTMLResponse:
    """The repair map."""
    now = cases.now(key)
    loops = thread(key, "Repair", missing(now.board))
    return page(request, "repair.html", key=key, identity=identity_view(now.board.sheet.identity), loops=loops)


@pages.get("/cases/{key}/tear")
def tear(key: str, request: Request, cases: CasesHere, bench: BenchHere) -> HTMLResponse:
    """The measures as short sentences."""
    board = cases.now(key).board
    sheet = board.sheet
    loops = thread(key, "Tear", missing(board))
    rows = measures(sheet)
    return page(
        request,
        "tear.html",
        key=key,
        identity=identity_view(sheet.identity),
        loops=loops,
        rows=rows,
        tear=sheet.tear,
        judgement=judgement_view(key, sheet, bench.book),
    )


@pages.get("/favicon.ico")
def icon() -> FileResponse:
    """The icon, for browsers that look for it here."""
    return FileResponse(HERE / "static" / "icon.svg", media_type="image/svg+xml")
