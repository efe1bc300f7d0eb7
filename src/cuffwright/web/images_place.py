"""The place Images: its page, imports into the case, series and slices."""

from typing import Any
from urllib.parse import unquote

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response
from starlette.concurrency import run_in_threadpool

from cuffwright.imaging.window import Window, render
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.images_desk import Shelf, Spot
from cuffwright.web.images_measuring import drawings_view, guides_view
from cuffwright.web.images_orders import Answers
from cuffwright.web.images_readings import ImagesHere, readings_view, standing_fields
from cuffwright.web.images_view import import_view, series_view
from cuffwright.web.lacking import missing
from cuffwright.web.older_repair import older_view
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

images = APIRouter()

LONGEST_NAME = 400
"""Numerical choice: letters of a file's name that are kept for the list."""

BINARY = "application/octet-stream"


@images.get("/cases/{key}/images", include_in_schema=False)
def place(key: str, request: Request, cases: CasesHere) -> HTMLResponse:
    """The page."""
    board = cases.now(key).board
    identity = identity_view(board.sheet.identity)
    return page(
        request, "images.html", key=key, identity=identity, loops=thread(key, "Images", missing(request, key, board))
    )


@images.get("/api/cases/{key}/images")
def standing(key: str, cases: CasesHere, desk: ImagesHere, bench: BenchHere) -> dict[str, Any]:
    """What stands: series, what was set aside, guided measures, and the readings of the case."""
    now = cases.now(key)
    board = now.board
    shelf = desk.shelf(key, board)
    return {
        "key": key,
        "seq": now.seq,
        "side": board.sheet.identity.side,
        "undo": board.undo,
        "redo": board.redo,
        "series": series_view(shelf, board.sheet.identity.side),
        "imports": [
            {"id": one.id, "pictures": one.pictures, "aside": list(one.aside), "confirmed": list(one.confirmed)}
            for one in board.imports
            if not one.dropped
        ],
        "asking": import_view(asking) if (asking := desk.asking(key)) else None,
        "guides": guides_view(),
        "drawings": drawings_view(),
        "readings": readings_view(board, shelf),
        "read": sorted(standing_fields(board)),
        "older": older_view(board, bench),
    }


@images.get("/api/cases/{key}/images/series/{series}/{index}")
def slice_values(key: str, series: int, index: int, cases: CasesHere, desk: ImagesHere) -> Response:
    """One picture: modality values as 32-bit numbers, or eight-bit levels where it has none; its window beside."""
    shelf = desk.shelf(key, cases.lately(key).board)
    body, kind, window, low_is_bright = _drawn(shelf, Spot(series, index))
    headers = {
        "X-Kind": kind,
        "X-Window": f"{window.centre:g},{window.width:g},{window.function}" if window else "",
        "X-Low-Is-Bright": "1" if low_is_bright else "0",
    }
    return Response(body, media_type=BINARY, headers=headers)


def _drawn(shelf: Shelf, spot: Spot) -> tuple[bytes, str, Window | None, bool]:
    grey = shelf.grey(spot)
    if grey is not None:
        return grey.values.astype("<f4", copy=False).tobytes(), "values", grey.window, grey.low_is_bright
    shown = render(shelf.picture(spot))
    return shown.levels.tobytes(), "levels" if shown.levels.ndim == 2 else "colour", None, False


@images.post("/api/cases/{key}/images/imports", status_code=201)
def begin_import(key: str, cases: CasesHere, desk: ImagesHere) -> dict[str, Any]:
    """Begin an import; its files follow one by one."""
    return import_view(desk.new_import(key, cases.now(key).board))


@images.post("/api/cases/{key}/images/imports/{name}/files", status_code=201)
async def lay_file(key: str, name: str, request: Request, desk: ImagesHere) -> JSONResponse:
    """One file of an import, as it is; the header X-Name says what the user calls it."""
    job = await run_in_threadpool(desk.job, key, name)
    called = unquote(request.headers.get("x-name", "unnamed"))[:LONGEST_NAME]
    target = await run_in_threadpool(job.lay, called)
    with target.open("wb") as out:
        async for chunk in request.stream():
            out.write(chunk)
    return JSONResponse({"files": job.count}, 201)


@images.post("/api/cases/{key}/images/imports/{name}/read")
def read_import(key: str, name: str, desk: ImagesHere) -> dict[str, Any]:
    """Read what was laid down."""
    job = desk.job(key, name)
    job.begin()
    return import_view(job)


@images.get("/api/cases/{key}/images/imports/{name}")
def one_import(key: str, name: str, desk: ImagesHere) -> dict[str, Any]:
    """How far an import is."""
    return import_view(desk.job(key, name))


@images.post("/api/cases/{key}/images/imports/{name}/answer")
def answer_import(key: str, name: str, answers: Answers, desk: ImagesHere) -> dict[str, Any]:
    """A person's answers; then it is stripped and kept."""
    job = desk.job(key, name)
    job.answer(tuple(answers.confirmed), answers.marker, answers.keep_characteristics, answers.keep_link, desk.keep)
    return import_view(job)


@images.post("/api/cases/{key}/images/imports/{name}/stop")
def stop_import(key: str, name: str, desk: ImagesHere) -> dict[str, Any]:
    """Stop an import; nothing of it is kept."""
    job = desk.job(key, name)
    if job.state == "done":
        raise Refusal(409, "the import is done already")
    job.stop()
    return import_view(job)


@images.post("/api/cases/{key}/images/imports/{name}/remove")
def remove_import(key: str, name: str, cases: CasesHere, desk: ImagesHere) -> dict[str, Any]:
    """Remove the pictures of an import for good; readings taken on them stay, without their pictures."""
    desk.drop(key, name)
    return {"seq": cases.now(key).seq}
