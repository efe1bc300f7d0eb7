"""The patient's sheet for the talk before a decision, printed from the place Tear."""

from datetime import UTC, datetime

from fastapi import APIRouter
from fastapi.responses import Response

from cuffwright.course.consent import consent_sheet
from cuffwright.exchange.sheets import write_sheet
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.judgement_view import judgement_of

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
