"""The page Practice: what the follow-ups of all kept cases add up to; it judges nobody."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from cuffwright.case.practice import Practice
from cuffwright.course.practice import LIMITS, practised
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from cuffwright.exchange.practice_file import practice_csv
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Cases
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.followup_curve import KINDS
from cuffwright.web.practice_drawing import charted, scaled
from cuffwright.web.practice_records import Kept, kept_records
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page

practice = APIRouter(include_in_schema=False)

Limit = Annotated[float | None, Query(gt=0, le=20)]


@practice.get("/practice")
def place(request: Request, cases: CasesHere, bench: BenchHere, limit: Limit = None) -> HTMLResponse:
    """The page."""
    kept, found = _found(cases, bench, limit)
    sources = load_book().sources
    limits = sorted(bench.book.fact(key).value for key in LIMITS)
    return page(
        request,
        "practice.html",
        kept=kept,
        found=found,
        limits=limits,
        limit=limit or bench.book.fact(LIMITS[-1]).value,
        targets=[scaled(found, one) for one in found.funnels] if found else [],
        chart=charted(found) if found else None,
        kinds=KINDS,
        sources=_sources(found, bench),
        titles={table.name: table.title for table in load_scores().values()},
        cited={name: f"{one.citation}, {one.year or 'no year'}" for name, one in sources.items()},
    )


@practice.get("/practice.csv")
def table(cases: CasesHere, bench: BenchHere, limit: Limit = None) -> Response:
    """The chart as a table."""
    _, found = _found(cases, bench, limit)
    if found is None:
        raise Refusal(422, "there is no operation on record yet, so there is no chart")
    head = {"Content-Disposition": 'attachment; filename="practice.csv"'}
    return Response(practice_csv(found), media_type="text/csv; charset=utf-8", headers=head)


def _found(cases: Cases, bench: Bench, limit: float | None) -> tuple[Kept, Practice | None]:
    today = date.today()
    kept = kept_records(cases, today)
    if not kept.records:
        return kept, None
    return kept, practised(kept.records, load_scores(), bench.book, today=today, limit=limit)


def _sources(found: Practice | None, bench: Bench) -> list[str]:
    """The sources of every number of the page, each once."""
    facts = found.facts if found else ()
    return sorted({f"{one.citation}, {one.year or 'no year'}" for one in (bench.book.fact(k).source for k in facts)})
