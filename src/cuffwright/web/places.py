"""The places of one case as pages; the repair map is brought to life by the front end."""

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, HTMLResponse

from cuffwright.web.desk import CasesHere
from cuffwright.web.lacking import missing
from cuffwright.web.rendering import HERE, page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

pages = APIRouter(include_in_schema=False)


@pages.get("/cases/{key}/repair")
def repair(key: str, request: Request, cases: CasesHere) -> HTMLResponse:
    """The repair map."""
    now = cases.now(key)
    loops = thread(key, "Repair", missing(request, key, now.board))
    identity = identity_view(now.board.sheet.identity)
    planned = request.app.state.limbs is not None
    return page(request, "repair.html", key=key, identity=identity, loops=loops, limbs=planned)


@pages.get("/favicon.ico")
def icon() -> FileResponse:
    """The icon, for browsers that look for it here."""
    return FileResponse(HERE / "static" / "icon.svg", media_type="image/svg+xml")
