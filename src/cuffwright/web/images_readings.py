"""Readings on the page: marks while they move, accepted into the case, shown again, reported."""

import json
import tempfile
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import JSONResponse, Response
from pydicom.uid import generate_uid

from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.image_reading import ImageReading
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.course.imaging import filled
from cuffwright.imaging.measures.all_guides import GUIDES
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Cases, Stale
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.images_bone import accepted_bone, bone_seen, bone_view
from cuffwright.web.images_bone_scene import bone_scene
from cuffwright.web.images_desk import ImagesDesk, Shelf
from cuffwright.web.images_measuring import UNITS, accepted, followed, kept_reading, read_marks, reading_view
from cuffwright.web.images_orders import (
    AcceptBone,
    AcceptOrder,
    AcceptOutline,
    BoneOrder,
    EdgeOrder,
    MeasureOrder,
    OutlineOrder,
)
from cuffwright.web.images_outline import accepted_outline, outline_view, outlined, still_there
from cuffwright.web.measure_words import WORDS
from cuffwright.web.refusal import Refusal

readings = APIRouter(prefix="/api/cases/{key}/images")

SEED = 1
"""Numerical choice: the seed with which marks are moved for the band of an outline."""


def the_images(request: Request) -> ImagesDesk:
    """The images desk of this server."""
    desk: ImagesDesk = request.app.state.images
    return desk


ImagesHere = Annotated[ImagesDesk, Depends(the_images)]


def readings_view(board: Board, shelf: Shelf) -> list[dict[str, Any]]:
    """The accepted readings, each with where its picture stands, its marks, and whether its fields still hold it."""
    listed = [_reading(one, shelf, board) for one in board.stand.readings]
    outline = still_there(board.sheet, board.stand.readings)
    return [{**one, "standing": one["standing"] and (one["outline"] is None or outline is not None)} for one in listed]


def standing_fields(board: Board) -> set[str]:
    """The fields of the case whose value is the one an accepted reading gave."""
    held = board.sheet.value_at
    return {path for one in board.stand.readings for path, value in one.fills if held(path) == value}


def beside_the_case(board: Board) -> list[dict[str, str]]:
    """The accepted readings that fill no field, in words."""
    return [
        {"name": one.name, "title": one.title, "value": f"{one.value:g}{_unit(one)}, SD {one.sd:g}{_unit(one)}"}
        for one in board.stand.readings
        if not one.fills
    ]


def _unit(one: ImageReading) -> str:
    unit = UNITS.get(one.unit, one.unit)
    return unit if unit in ("", "°") else f" {unit}"


def _reading(one: ImageReading, shelf: Shelf, board: Board) -> dict[str, Any]:
    spot = shelf.spot(one.image, one.frame)
    told = json.loads(one.whole)
    return {
        "name": one.name,
        "title": one.title,
        "value": one.value,
        "sd": one.sd,
        "unit": UNITS.get(one.unit, one.unit),
        "fills": [WORDS[path][0] if path in WORDS else path for path, _ in one.fills],
        "fields": [path for path, _ in one.fills],
        "standing": all(board.sheet.value_at(path) == value for path, value in one.fills),
        "spot": {"series": spot.series, "index": spot.index} if spot else None,
        "rounds": told["reading"]["rounds"] if "reading" in told else [],
        "marks": told.get("marks"),
        "outline": told.get("outline"),
        "bone": told.get("bone"),
        "bone_marks": told.get("bone_marks"),
        "scale": told.get("scale"),
    }


@readings.post("/measure", response_model=None)
def measure(key: str, order: MeasureOrder, cases: CasesHere, desk: ImagesHere) -> JSONResponse:
    """The value of marks while they are set and moved; nothing is stored."""
    found, _ = read_marks(desk.shelf(key, cases.lately(key).board), order, desk.book)
    return JSONResponse(reading_view(found))


@readings.post("/edge", response_model=None)
def edge(key: str, order: EdgeOrder, cases: CasesHere, desk: ImagesHere) -> JSONResponse:
    """The outline along the strongest edge between clicks."""
    return JSONResponse({"outline": followed(desk.shelf(key, cases.lately(key).board), order)})


@readings.post("/outline", response_model=None)
def outline(key: str, order: OutlineOrder, cases: CasesHere, desk: ImagesHere) -> JSONResponse:
    """The tear from slices on the chart; nothing is stored."""
    board = cases.lately(key).board
    return JSONResponse(outline_view(outlined(desk.shelf(key, board), order, board.sheet, desk.book, SEED)))


@readings.post("/readings", response_model=None)
def accept(key: str, order: AcceptOrder, cases: CasesHere, desk: ImagesHere, bench: BenchHere) -> JSONResponse:
    """Keep a reading, and put it into the field it fills."""
    found, scale = read_marks(desk.shelf(key, cases.now(key).board), order, desk.book)
    return _kept(key, order.id, order.expected, accepted(found, scale), cases, bench)


@readings.post("/bone", response_model=None)
def bone(key: str, order: BoneOrder, cases: CasesHere, desk: ImagesHere) -> JSONResponse:
    """The humerus of a CT around a mark; nothing is stored."""
    board = cases.lately(key).board
    side = board.sheet.identity.side
    return JSONResponse(bone_view(bone_seen(desk.shelf(key, board), order, side, desk.book, SEED)))


@readings.post("/bone/scene", response_model=None)
def bone_in_space(key: str, order: BoneOrder, cases: CasesHere, desk: ImagesHere) -> JSONResponse:
    """The same humerus as surfaces, to be looked at from all sides; nothing is stored."""
    board = cases.lately(key).board
    return JSONResponse(
        bone_scene(bone_seen(desk.shelf(key, board), order, board.sheet.identity.side, desk.book, SEED))
    )


@readings.post("/bones", response_model=None)
def accept_bone(key: str, order: AcceptBone, cases: CasesHere, desk: ImagesHere, bench: BenchHere) -> JSONResponse:
    """Keep the radius of a head from a CT."""
    board = cases.now(key).board
    found = bone_seen(desk.shelf(key, board), order, board.sheet.identity.side, desk.book, SEED)
    return _kept(key, order.id, order.expected, accepted_bone(found, order), cases, bench)


@readings.post("/outlines", response_model=None)
def accept_outline(
    key: str, order: AcceptOutline, cases: CasesHere, desk: ImagesHere, bench: BenchHere
) -> JSONResponse:
    """Keep an outline, and put width, front and retraction into their fields."""
    board = cases.now(key).board
    found = outlined(desk.shelf(key, board), order, board.sheet, desk.book, SEED)
    return _kept(key, order.id, order.expected, accepted_outline(found, order), cases, bench)


def _kept(key: str, command: str, expected: int, one: ImageReading, cases: Cases, bench: Bench) -> JSONResponse:
    before = cases.now(key).board
    _workable(filled(before.sheet, one), bench, one)
    change = bench.taken(before, one)
    try:
        now = cases.make(key, command, expected, change)
    except Stale as stale:
        return JSONResponse({"error": stale.sentence, "changed": stale.changed}, 409)
    return JSONResponse({"seq": now.seq, "laid_anew": change.layout is not None})


def _workable(sheet: CaseSheet, bench: Bench, one: ImageReading) -> None:
    """Refuse a reading with which the case would be impossible; one outside what can be computed is kept."""
    try:
        bench.prepared(sheet)
    except OutsideValidity:
        return
    except CaseError as wrong:
        raise CaseError(f"{one.title} of {one.value:g} {UNITS.get(one.unit, one.unit)}: {wrong}") from None


@readings.get("/report")
def report(key: str, cases: CasesHere, desk: ImagesHere) -> Response:
    """Every accepted guided measure whose image is here, as a structured report."""
    from cuffwright.imaging.report.structured import write_report

    board = cases.now(key).board
    shelf = desk.shelf(key, board)
    taken = [one for one in board.stand.readings if one.name in GUIDES and shelf.spot(one.image, one.frame)]
    if not taken:
        raise Refusal(409, "there is no accepted measure to report; take one first")
    pictures = {one.image: shelf.picture(shelf.find(one.image, one.frame)) for one in taken}
    with tempfile.TemporaryDirectory() as folder:
        file = write_report(
            Path(folder) / "report.dcm",
            [kept_reading(one) for one in taken],
            pictures,
            board.sheet.identity.side,
            series_uid=generate_uid(prefix=None),
            sop_instance_uid=generate_uid(prefix=None),
            device_uid=generate_uid(prefix=None),
        )
        body = file.read_bytes()
    named = {"Content-Disposition": 'attachment; filename="readings.dcm"'}
    return Response(body, media_type="application/dicom", headers=named)
