"""The interface the page speaks: settled answers, their news, and what stands behind a number."""

from typing import Any

from fastapi import APIRouter
from fastapi.responses import StreamingResponse

from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.refusal import Refusal
from cuffwright.web.stream import news
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
def ask(key: str, name: str, cases: CasesHere, bench: BenchHere) -> dict[str, Any]:
    """What one number means, how it is computed, from what, and how far it holds."""
    answer = bench.explain(key, cases.now(key).board, name)
    if answer is None:
        raise Refusal(404, "there is no number to ask about yet; choose a pattern and wait for its first answer")
    return {"answer": answer}
