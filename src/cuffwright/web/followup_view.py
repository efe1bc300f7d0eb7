"""Follow-up as the page shows it: what is due, the patient over time, limits, weeks against load, printed sheets."""

import hashlib
import json
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any, get_args

from cuffwright.case.care import Care
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import FactBook
from cuffwright.case.followup import Complication, FollowedUp, MrType, VisitScores
from cuffwright.case.hold import HoldResult
from cuffwright.case.rehab import RehabPlan, Release
from cuffwright.case.score import Change, ScoreTable, Threshold
from cuffwright.course.board import Board
from cuffwright.course.caring import record
from cuffwright.course.following import followed
from cuffwright.course.general import GENERAL
from cuffwright.course.rehabilitation import rehabilitation
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores
from cuffwright.exchange.plain import layout_to_plain, sheet_to_plain, to_plain
from cuffwright.web.followup_curve import KINDS, Curve, curve
from cuffwright.web.followup_orders import WEEKS
from cuffwright.web.judgement_words import named
from cuffwright.web.rendering import begun

COMPLICATIONS: tuple[str, ...] = get_args(Complication.__dataclass_fields__["kind"].type)
TYPES: tuple[str, ...] = get_args(MrType)


@dataclass(frozen=True)
class Printed:
    """Where the sheets stand: released by whom and when, or lapsed, or not yet, in words."""

    ready: bool
    words: str


def digest(board: Board) -> str:
    """The digest of all that the sheets rest on: the case, the repair, the protocol, the word that it was done so."""
    care = board.stand.care
    inputs = {
        "sheet": sheet_to_plain(board.sheet),
        "layout": layout_to_plain(board.layout) if board.layout else None,
        "protocol": to_plain(care.protocol) if care.protocol else None,
        "as_planned": care.as_planned,
    }
    return hashlib.sha256(json.dumps(inputs, sort_keys=True).encode()).hexdigest()


def planned(board: Board, book: FactBook, hold: HoldResult | None, release: Release | None = None) -> RehabPlan:
    """The weeks of this case, with what the repair holds where that is known."""
    care = board.stand.care
    return rehabilitation(
        board.sheet, book, hold=hold, protocol=care.protocol, as_planned=care.as_planned, release=release
    )


def worked_out(board: Board, care: Care, book: FactBook, today: date) -> FollowedUp:
    """The follow-up on ``today``; raises CaseError without a day of the operation or where an answer is impossible."""
    return followed(record(board.sheet, care), load_scores(), book, today=today)


def followup_view(board: Board, book: FactBook, hold: HoldResult | None, today: date) -> dict[str, Any]:
    """Everything that Follow-up shows, as the template reads it."""
    care, operation = board.stand.care, board.sheet.identity.operation_date
    found, wrong = _found(board, book, today)
    plan = planned(board, book, hold)
    return {
        "care": care,
        "today": today,
        "operation": operation,
        "found": found,
        "over_time": _over_time(found),
        "wrong": wrong,
        "general": GENERAL,
        "curves": _curves(found),
        "tables": tuple(load_scores().values()),
        "used": _used(found),
        "kinds": KINDS,
        "complications": COMPLICATIONS,
        "types": TYPES,
        "plan": plan,
        "named": named,
        "told": _told,
        "rests_on": sorted({_cited()[book.fact(key).source.source] for key in plan.facts}),
        "cited": _cited(),
        "weeks": WEEKS,
        "printed": printed(board),
    }


def _found(board: Board, book: FactBook, today: date) -> tuple[FollowedUp | None, str]:
    """The follow-up, or why there is none: a day of the operation set later may contradict the record."""
    if board.sheet.identity.operation_date is None:
        return None, ""
    try:
        return worked_out(board, board.stand.care, book, today), ""
    except CaseError as contradiction:
        return None, str(contradiction)


def printed(board: Board) -> Printed:
    """Whether the sheets may be printed, and why."""
    released = board.stand.released
    if released is None:
        return Printed(False, "Not released: nothing is printed.")
    release = released.release
    if released.of != digest(board):
        return Printed(False, f"The release of {release.day} by {release.by} has lapsed: something changed since.")
    taken = (
        "with the proposed delays" if release.delays_taken else "with the protocol's weeks and delays that were read"
    )
    return Printed(True, f"Released on {release.day} by {release.by}, {taken}.")


def _curves(found: FollowedUp | None) -> tuple[Curve, ...]:
    tables = load_scores()
    return tuple(curve(tables[one.name], one) for one in found.recovery) if found else ()


def _used(found: FollowedUp | None) -> tuple[ScoreTable, ...]:
    """The scores on record, in the order in which they were first given."""
    if found is None:
        return ()
    names = dict.fromkeys(one.name for visit in found.visits for one in visit.scores)
    return tuple(load_scores()[name] for name in names)


Line = tuple[VisitScores | None, int, Complication | None]


def _over_time(found: FollowedUp | None) -> list[Line]:
    """Visits, and complications with their place on record, in the order of their days."""
    if found is None:
        return []
    lines: list[tuple[date, Line]] = [(visit.day, (visit, 0, None)) for visit in found.visits]
    lines += [(event.day, (None, place, event)) for place, event in enumerate(found.complications)]
    return [line for _, line in sorted(lines, key=lambda each: each[0])]


def _told(limit: Threshold, changes: tuple[tuple[date, Change], ...]) -> str:
    """At which visits a limit was reached, at which not, and at which that is not known."""
    days: dict[bool | None, list[str]] = {True: [], False: [], None: []}
    for day, change in changes:
        for one in change.reached:
            if one.threshold == limit:
                days[one.reached].append(day.isoformat())
    words = {True: "reached", False: "not reached", None: "not known"}
    said = [f"{words[state]}: {', '.join(each)}" for state, each in days.items() if each]
    return begun("; ".join(said)) + "." if said else "No change computed."


@cache
def _cited() -> dict[str, str]:
    return {name: f"{one.citation}, {one.year or 'no year'}" for name, one in load_book().sources.items()}
