"""The interface the page speaks: settled answers, their news, and what stands behind a number."""

from functools import partial
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import StreamingResponse

from cuffwright.course.board import Board
from cuffwright.web import access_place as access
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.limbs_asking import explain as explain_limbs
from cuffwright.web.limbs_desk import LimbsDesk, replanned
from cuffwright.web.reach_view import reach_view
from cuffwright.web.refusal import Refusal
from cuffwright.web.stream import news
from cuffwright.web.tear_asking import ASKS, explain
from cuffwright.web.versions import explain_version
from cuffwright.web.view import hold_view

PATIENCE_SECONDS = 120.0
"""Numerical choice: a plain request for a settled answer waits this long."""

answers = APIRouter(prefix="/api")


@answers.get("/cases/{key}/hold")
def settled(key: str, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """The settled answer to what stands; waits for it."""
    board = cases.now(key).board
    if board.layout is None:
        raise Refusal(404, "no pattern is chosen yet, so nothing holds; choose a pattern first")
    course = bench.settle(key, board, board.layout)
    if not course.ended.wait(PATIENCE_SECONDS):
        raise Refusal(503, "the answer is not ready yet; ask again in a moment")
    if course.result is None or course.last.kind != "settled":
        raise Refusal(422, course.last.sentence or "the case changed while it was computed; ask again")
    return {"hold": hold_view(course.result)}


@answers.get("/cases/{key}/hold/stream", response_model=None)
def settling(key: str, cases: CasesHere, bench: BenchHere) -> StreamingResponse:
    """The answer to what stands as it settles, as server-sent events."""
    board = cases.now(key).board
    if board.layout is None:
        raise Refusal(404, "no pattern is chosen yet, so nothing holds; choose a pattern first")
    course = bench.settle(key, board, board.layout)
    return StreamingResponse(news(bench.settling, course), media_type="text/event-stream")


@answers.get("/cases/{key}/ask/{name}")
def ask(key: str, name: str, request: Request, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """What one number means, how it is computed, from what, and how far it holds.

    ``version.2.gap.fair`` asks the second version on the shelf, ``limbs.moves`` the plan of limbs of what stands, and
    ``reach.posterior.1`` Access.
    """
    board = cases.now(key).board
    head, _, rest = name.partition(".")
    if head == "reach":
        return access.ask(key, name, cases, request.app.state.access)
    if head == "limbs":
        return {"answer": _limbs(board, rest, request.app.state.limbs)}
    if head == "version":
        place, _, name = rest.partition(".")
        answer = explain_version(board, place, name, bench)
    else:
        answer = bench.explain(key, board, name)
    if answer is None:
        raise Refusal(404, "there is no number to ask about yet; choose a pattern and wait for its first answer")
    return {"answer": answer}


@answers.get("/cases/{key}/reach")
def reach(key: str, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """From which portal and with the arm how each site of what stands is reached, or why it is not."""
    return reach_view(cases.now(key).board, bench)


@answers.get("/cases/{key}/tear/ask/{name}")
def ask_tear(key: str, name: str, request: Request, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """What one number of Tear means, how it comes about, from what, and how far it holds."""
    board = cases.now(key).board
    if name.partition(".")[0] in ASKS:
        return {"answer": explain(board.sheet, bench.book, name)}
    return ask(key, name, request, cases, bench)


def _limbs(board: Board, name: str, desk: LimbsDesk | None) -> dict[str, Any]:
    """What one number of the plan of limbs means."""
    if desk is None:
        raise Refusal(404, "no limbs are planned on this server; start it with cuffwright serve")
    here = desk.point(board)
    if here.plan is None:
        raise Refusal(404, f"there is no plan of limbs to ask: {here.refused}")
    return explain_limbs(here.field, here.plan, name, partial(replanned, here))
