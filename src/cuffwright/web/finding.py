"""The one box: finds a place, a measure, a limb, a number, a fact, a page of help by its words."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from cuffwright.case.errors import EvidenceError
from cuffwright.case.fact import Fact
from cuffwright.course.asking_body import BODY_TITLES
from cuffwright.course.board import Board
from cuffwright.web.desk import BenchHere, CasesHere
from cuffwright.web.help_pages import papers
from cuffwright.web.measures import findings, measures
from cuffwright.web.refusal import Refusal
from cuffwright.web.rendering import page
from cuffwright.web.thread import PRESENT

MOST = 12
"""Numerical choice: as many are shown at once as can be read at a glance."""

LONGEST = 80
"""Numerical choice: characters of what is looked for."""

NUMBERS = {
    "ultimate": "Ultimate load",
    "weakest": "Weakest link",
    "gap": "Gap at the stated load",
    "stiffness": "Stiffness",
    "spacing": "Distance of anchor beds",
    "contact.area": "Contact area",
    "contact.force": "Contact force",
    "contact.mean": "Mean contact pressure",
    "contact.peak": "Peak contact pressure",
    **{f"body.{name}": title for name, title in BODY_TITLES.items()},
}
"""Numbers of a repair that can be asked, by their names."""

BY_TISSUE = frozenset({"ultimate", "weakest", "gap", "stiffness"})
"""Those that are asked for each grade of tissue."""

finding = APIRouter()


@dataclass(frozen=True)
class Found:
    """One thing: what kind it is, what it is called, more words about it, and where it is."""

    kind: str
    title: str
    words: str
    href: str


@finding.get("/api/find")
def find(request: Request, cases: CasesHere, q: str = "", case: str | None = None) -> dict[str, Any]:
    """Everything whose words hold every word of ``q``, the best first; things of ``case`` where one is open."""
    board = cases.now(case).board if case else None
    wanted = q[:LONGEST].lower().split()
    every = [*(_of_case(case or "", board) if board else ()), *_pages(), *_facts(request)]
    hits = [one for one in every if _holds(one, wanted)] if wanted else []
    hits.sort(key=lambda one: (_rank(one, wanted), len(one.title)))
    return {"found": [asdict(one) for one in hits[:MOST]], "more": max(0, len(hits) - MOST)}


@finding.get("/facts/{key}", include_in_schema=False)
def fact(key: str, request: Request, bench: BenchHere) -> HTMLResponse:
    """One row of the evidence."""
    try:
        return page(request, "fact.html", fact=bench.book.fact(key))
    except EvidenceError:
        raise Refusal(404, f"there is no row {key[:60]!r} in the evidence; look for it with the key /") from None


def _of_case(key: str, board: Board) -> Iterator[Found]:
    for name, place in PRESENT.items():
        yield Found("place", name, "", f"/cases/{key}/{place}")
    for row in (*measures(board.sheet), *findings(board.sheet)):
        yield Found("measure", row.label, row.value or "unknown", f"/cases/{key}/tear#{row.path}")
    layout = board.layout
    if layout is None:
        return
    for anchor in layout.anchors:
        yield Found("anchor", f"Anchor {anchor.name}", anchor.implant, f"/cases/{key}/repair#anchor.{anchor.name}")
    for hole in layout.holes:
        yield Found("limb", f"Limb {hole.name}", "", f"/cases/{key}/repair#hole.{hole.name}")
    for name, title in NUMBERS.items():
        for tissue in (".good", ".fair", ".poor") if name in BY_TISSUE else ("",):
            said = f"{tissue[1:]} tissue" if tissue else ""
            yield Found("number", title, said, f"/cases/{key}/repair#ask.{name}{tissue}")


def _pages() -> Iterator[Found]:
    yield Found("place", "Cases", "the case list", "/")
    yield Found("place", "Practice", "what the follow-ups add up to", "/practice")
    yield Found("place", "How far can I trust this?", "published benches against the model", "/trust")
    for one in papers().values():
        yield Found("help", one.title, ", ".join(one.headings), f"/help/{one.name}")


def _facts(request: Request) -> Iterator[Found]:
    rows: dict[str, Fact] = getattr(request.app.state.bench.book, "rows", {})
    for key, row in rows.items():
        yield Found("fact", key, f"{row.value:g} {row.unit}. {row.note}", f"/facts/{key}")


def _holds(one: Found, words: list[str]) -> bool:
    text = f"{one.kind} {one.title} {one.words}".lower()
    return all(word in text for word in words)


def _rank(one: Found, words: list[str]) -> tuple[int, int]:
    """Where the words stand: title before text, its beginning first; facts behind everything else."""
    title = one.title.lower()
    parts = title.replace(".", " ").split()
    if all(any(part.startswith(word) for part in parts) for word in words):
        place = 0 if title.startswith(words[0]) else 1
    else:
        place = 2 if all(word in title for word in words) else 3
    return place + (4 if one.kind == "fact" else 0), len(one.words)
