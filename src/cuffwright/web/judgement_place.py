"""What is reached from the judgement on Tear: the patient's sheet to print, and pressures around the operation."""

from datetime import UTC, datetime

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from cuffwright.case.fact import Source
from cuffwright.course.consent import consent_sheet
from cuffwright.course.perioperative import perioperative
from cuffwright.evidence.book import load_book
from cuffwright.exchange.sheets import write_sheet
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.judgement_view import judgement_of
from cuffwright.web.lacking import missing
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.thread import thread
from cuffwright.web.view import identity_view

judgement = APIRouter(include_in_schema=False)


@judgement.get("/cases/{key}/consent.pdf")
def consent(key: str, cases: CasesHere, bench: BenchHere, large: bool = False) -> Response:
    """The sheet as PDF, in usual or large print."""
    sheet = cases.now(key).board.sheet
    made = consent_sheet(sheet, judgement_of(sheet, bench.book), bench.book)
    name = f"before-the-decision-{sheet.identity.side}{'-large-print' if large else ''}.pdf"
    head = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(
        write_sheet(made, made_at=datetime.now(UTC), large=large), media_type="application/pdf", headers=head
    )


@judgement.get("/cases/{key}/pressures")
def pressures(
    key: str,
    request: Request,
    cases: CasesHere,
    bench: BenchHere,
    systolic: str = "",
    mean: str = "",
    height: str = "",
    cuff: str = "",
) -> HTMLResponse:
    """The view against pressure beside the pressure at the brain; nothing of it is kept."""
    board = cases.now(key).board
    told = {"systolic": systolic, "mean": mean, "height_cm": height}
    found = perioperative(
        bench.book,
        **{name: _number(name, words) for name, words in told.items()},
        ankle_cuff={"arm": False, "ankle": True}.get(cuff),
    )
    return page(
        request,
        "pressures.html",
        identity=identity_view(board.sheet.identity),
        loops=thread(key, "Tear", missing(request, key, board)),
        found=found,
        sources=sorted({f"{one.citation}, {one.year or 'no year'}" for one in map(_source, found.facts)}),
        given={"systolic": systolic, "mean": mean, "height": height, "cuff": cuff},
    )


def _source(key: str) -> Source:
    return load_book().fact(key).source


def _number(name: str, words: str) -> float | None:
    if not words.strip():
        return None
    try:
        return float(words)
    except ValueError:
        raise Refusal(
            422, f"{name}: {words[:20]!r} is no number; go back and give mmHg, and cm for the height"
        ) from None
