"""The place Access: its page, and what the page asks while the arm is turned and portals are moved."""

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, JSONResponse

from cuffwright.web.access_asking import explain
from cuffwright.web.access_desk import AccessDesk
from cuffwright.web.access_live import live_view, moved
from cuffwright.web.access_orders import AccessTrial, ScopeOrder
from cuffwright.web.access_scene import scene_view
from cuffwright.web.access_view import access_view, answer_view
from cuffwright.web.desk import CasesHere
from cuffwright.web.lacking import missing
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

access = APIRouter()


def the_desk(request: Request) -> AccessDesk:
    """The access desk of this server."""
    desk: AccessDesk = request.app.state.access
    return desk


DeskHere = Annotated[AccessDesk, Depends(the_desk)]


@access.get("/cases/{key}/access", include_in_schema=False)
def place(key: str, request: Request, cases: CasesHere) -> HTMLResponse:
    """The page."""
    board = cases.now(key).board
    identity = identity_view(board.sheet.identity)
    return page(
        request, "access.html", key=key, identity=identity, loops=thread(key, "Access", missing(request, key, board))
    )


@access.get("/api/cases/{key}/access")
def standing(key: str, cases: CasesHere, desk: DeskHere) -> dict[str, Any]:
    """What stands: arm position, portals, what is in reach, and the drawn answer when it is known."""
    now = cases.now(key)
    return access_view(key, now.seq, now.board, desk, ScopeOrder())


@access.get("/api/cases/{key}/access/scene", response_model=None)
def scene(key: str, cases: CasesHere, desk: DeskHere) -> JSONResponse:
    """The shoulder that is drawn: everything that stays while the arm moves."""
    return JSONResponse(scene_view(desk.ready(cases.now(key).board)))


@access.post("/api/cases/{key}/access/try", response_model=None)
def trial(key: str, wanted: AccessTrial, cases: CasesHere, desk: DeskHere) -> JSONResponse:
    """One arm position, and perhaps a moved portal, on the mean shoulder; nothing is stored."""
    asked = desk.ready(cases.lately(key).board)
    if wanted.portal is not None:
        asked = moved(asked, wanted.portal.place)
    return JSONResponse(live_view(asked, wanted.pose.pose, wanted.scope))


@access.get("/api/cases/{key}/access/answer")
def drawn(key: str, cases: CasesHere, desk: DeskHere) -> dict[str, Any]:
    """The answer to what stands over drawn shoulders; waits for it."""
    now = cases.now(key)
    found = desk.answer(key, now.board)
    return {"seq": now.seq, "answer": answer_view(desk.ready(now.board), found) if found else None}


@access.get("/api/cases/{key}/access/ask/{name}")
def ask(key: str, name: str, cases: CasesHere, desk: DeskHere) -> dict[str, Any]:
    """What one number of Access means, how it is computed, from what, and how far it holds."""
    board = cases.now(key).board
    found = desk.answer(key, board)
    if found is None:
        raise Refusal(409, "the case changed meanwhile; ask again")
    return {"answer": explain(desk.ready(board), found, name)}
