"""The limbs of one case, reached from Repair: the plan step by step, own moves judged, mishaps, the cards."""

from dataclasses import asdict
from datetime import UTC, datetime
from functools import partial
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from cuffwright import __version__
from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.course.limb_compared import beside
from cuffwright.course.limb_portals import FEWEST, SETS
from cuffwright.exchange.cards import write_cards
from cuffwright.limbs.words import said
from cuffwright.web.access_live import live_view
from cuffwright.web.access_orders import ScopeOrder
from cuffwright.web.access_place import DeskHere
from cuffwright.web.access_scene import scene_view
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.lacking import missing
from cuffwright.web.limbs_asking import explain
from cuffwright.web.limbs_desk import LimbsDesk, Point, replanned
from cuffwright.web.limbs_orders import LONGEST, NextMove, Rehearsal
from cuffwright.web.limbs_usual import usual_view
from cuffwright.web.limbs_view import field_view, plan_view, state_view
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

limbs = APIRouter()


def the_limbs(request: Request) -> LimbsDesk:
    """The desk for limbs of this server."""
    desk: LimbsDesk = request.app.state.limbs
    return desk


LimbsHere = Annotated[LimbsDesk, Depends(the_limbs)]
Portals = Annotated[str, Query(max_length=LONGEST, description="A set of portals by name.")]


@limbs.get("/cases/{key}/limbs", include_in_schema=False)
def place(key: str, request: Request, cases: CasesHere) -> HTMLResponse:
    """The page."""
    board = cases.now(key).board
    identity = identity_view(board.sheet.identity)
    return page(
        request, "limbs.html", key=key, identity=identity, loops=thread(key, "Repair", missing(request, key, board))
    )


@limbs.post("/api/cases/{key}/limbs/play", response_model=None)
def play(key: str, sent: Rehearsal, cases: CasesHere, desk: LimbsHere) -> JSONResponse:
    """Where a rehearsal stands after what happened, and the plan from there; nothing is stored."""
    board = cases.lately(key).board
    return JSONResponse(_point_view(desk.point(board, sent.so_far, sent.portals), board.sheet.identity.side))


@limbs.get("/api/cases/{key}/limbs/moves")
def moves(key: str, cases: CasesHere, desk: LimbsHere) -> dict[str, str]:
    """How many moves the plan of what stands has, in words, or why there is none."""
    try:
        here = desk.point(cases.lately(key).board)
    except (CaseError, OutsideValidity) as error:
        return {"words": f"not computed: {error}"}
    return {"words": here.plan.certificate.words if here.plan else f"not computed: {here.refused}"}


@limbs.post("/api/cases/{key}/limbs/judge", response_model=None)
def judge(key: str, sent: NextMove, cases: CasesHere, desk: LimbsHere) -> JSONResponse:
    """What speaks against a learner's move; made when nothing forbids it and its risk, if any, was taken."""
    board = cases.lately(key).board
    move = sent.move.move
    here = desk.point(board, sent.so_far, sent.portals)
    findings = desk.judged(here, move)
    severities = {finding.severity for finding in findings}
    made = "illegal" not in severities and (sent.anyway or "risk" not in severities)
    view: dict[str, Any] = {"findings": [asdict(one) for one in findings], "words": said(here.field, move)}
    view |= {"made": None, "longer": None}
    if made:
        after = desk.point(board, (*sent.so_far, move), sent.portals)
        view["made"] = _point_view(after, board.sheet.identity.side)
        if here.plan and after.plan:
            view["longer"] = after.plan.certificate.moves + (move.kind != "test") - here.plan.certificate.moves
    return JSONResponse(view)


@limbs.get("/api/cases/{key}/limbs/usual")
def usual(key: str, cases: CasesHere, desk: LimbsHere, portals: Portals = FEWEST) -> dict[str, Any]:
    """The usual order beside the plan from the start: counts, moves, the reason for each difference; or why not."""
    here = desk.point(cases.lately(key).board, (), portals)
    if here.plan is None:
        return {"not_computed": here.refused, "counts": [], "differences": [], "steps": []}
    found, why = beside(here.field, here.state, here.plan)
    return usual_view(found, here.plan.counts, why)


@limbs.get("/api/cases/{key}/limbs/scene", response_model=None)
def scene(key: str, cases: CasesHere, access: DeskHere) -> JSONResponse:
    """The shoulder the limbs are drawn in: bones, the arm at rest, sites and portals."""
    board = cases.now(key).board
    ready = access.ready(board)
    live = live_view(ready, access.pose(board), ScopeOrder())
    places = {"sites": {one["name"]: one["point"] for one in live["sites"]}}
    portals = {"portals": {one["name"]: one["skin"] for one in live["portals"]}}
    return JSONResponse(
        {"shoulder": scene_view(ready), "arm": live["arm"], "pose_words": live["pose_words"]} | places | portals
    )


@limbs.post("/api/cases/{key}/limbs/ask/{name}")
def ask(key: str, name: str, sent: Rehearsal, cases: CasesHere, desk: LimbsHere) -> dict[str, Any]:
    """What one number of the plan means, how it comes about, and how far it holds."""
    here = desk.point(cases.lately(key).board, sent.so_far, sent.portals)
    if here.plan is None:
        raise Refusal(409, here.refused)
    return {"answer": explain(here.field, here.plan, name, partial(replanned, here))}


@limbs.get("/cases/{key}/limbs/cards.pdf", include_in_schema=False)
def cards(key: str, cases: CasesHere, bench: BenchHere, desk: LimbsHere, portals: Portals = FEWEST) -> Response:
    """Phase card and list of steps of the plan from the start, as PDF."""
    board = cases.now(key).board
    here = desk.point(board, (), portals)
    if here.plan is None:
        raise Refusal(409, here.refused)
    stamp = f"Cuffwright {__version__} · evidence {bench.book.edition} · case {key}"
    about = here.opening.about
    pdf = write_cards(board.sheet.identity, here.field, here.plan, made_at=datetime.now(UTC), about=about, stamp=stamp)
    return Response(
        pdf, media_type="application/pdf", headers={"Content-Disposition": 'inline; filename="limb-cards.pdf"'}
    )


def _point_view(here: Point, side: Any) -> dict[str, Any]:
    return {
        "done": here.done,
        "about": here.opening.about,
        "portals": here.opening.portal_set,
        "sets": (FEWEST, *SETS),
        "field": field_view(here.field, side),
        "plan": plan_view(here.plan, here.states(), here.done) if here.plan else None,
        "state": state_view(here.state),
        "refused": here.refused,
        "changes": here.changes,
    }
