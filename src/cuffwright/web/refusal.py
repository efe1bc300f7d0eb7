"""Every refusal is one sentence: what, where, what to do."""

import logging

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from cuffwright.case.errors import ArchiveError, CuffError

log = logging.getLogger("cuffwright.web")

LONGEST_SENTENCE = 600
"""Numerical choice: characters of a refusal; what a client sent cannot make it longer."""

STATED = {
    404: "there is nothing at this address; go back to the case list at /",
    405: "this address does not take that kind of request; see /api/openapi.json",
}


class Refusal(Exception):
    """A request that is refused with a status and one sentence, and what else the answer carries."""

    def __init__(self, status: int, sentence: str, **more: object) -> None:
        super().__init__(sentence)
        self.status = status
        self.sentence = sentence
        self.more = more


class UnknownCase(Refusal):
    """There is no such case."""

    def __init__(self, key: str) -> None:
        shown = key[:40]
        super().__init__(404, f"there is no case {shown!r} here; open one from the case list at /")


def answer(status: int, sentence: str, **more: object) -> JSONResponse:
    """The one shape of an error: ``{"error": sentence}`` and, for a stale command, what changed.

    What a client sent may stand in the sentence; what cannot be printed of it is left out, so that it stays one line.
    """
    plain = "".join(sign if sign.isprintable() else " " for sign in sentence[:LONGEST_SENTENCE])
    return JSONResponse({"error": " ".join(plain.split()), **more}, status)


def say_refusals(app: FastAPI) -> None:
    """Teach ``app`` to answer every refusal in the one shape, and every bug with 500 and nothing inside it."""

    async def refused(_: Request, wrong: Exception) -> JSONResponse:
        if not isinstance(wrong, Refusal):
            raise wrong
        return answer(wrong.status, wrong.sentence, **wrong.more)

    async def unfit(_: Request, wrong: Exception) -> JSONResponse:
        status = 404 if isinstance(wrong, ArchiveError) else 422
        return answer(status, str(wrong))

    async def malformed(_: Request, wrong: Exception) -> JSONResponse:
        if not isinstance(wrong, RequestValidationError):
            raise wrong
        first = wrong.errors()[0]
        place = ".".join(str(p) for p in first["loc"] if p != "body")[:80] or "the request"
        return answer(422, f"{place}: {first['msg'].removeprefix('Value error, ')}; correct it and send it again")

    async def stated(_: Request, wrong: Exception) -> JSONResponse:
        if not isinstance(wrong, HTTPException):
            raise wrong
        return answer(wrong.status_code, STATED.get(wrong.status_code, str(wrong.detail)))

    async def bug(request: Request, wrong: Exception) -> JSONResponse:
        log.error("a bug answered %s", request.url.path, exc_info=wrong)
        return answer(500, "something in this program is broken; nothing was stored, the log of the server says where")

    app.add_exception_handler(Refusal, refused)
    app.add_exception_handler(CuffError, unfit)
    app.add_exception_handler(RequestValidationError, malformed)
    app.add_exception_handler(HTTPException, stated)
    app.add_exception_handler(Exception, bug)
