"""What each place of a case still lacks."""

from contextlib import suppress
from typing import Any

from fastapi import Request

from cuffwright.case.errors import CuffError
from cuffwright.case.record import Record
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.course.record.devices import places_without
from cuffwright.imaging.measures.all_guides import GUIDES
from cuffwright.theatre import Operation
from cuffwright.web.measure_words import WORDS
from cuffwright.web.measures import unknown
from cuffwright.web.operations import plan_of, planned, record_of

WANTED = (
    "acromion.critical_shoulder_angle_degrees",
    "acromion.acromiohumeral_interval_mm",
    "footprint.head_radius_mm",
    "shoulder.retroversion_degrees",
)
"""The measures that narrow the shoulder."""


def access_lacks(board: Board) -> list[str]:
    """What Access lacks in this case, in words."""
    missing = [] if board.layout else ["A repair pattern"]
    known = dict(board.sheet.measurements())
    return missing + [WORDS[path][0] for path in WANTED if known.get(path) is None]


def readable(sheet: CaseSheet) -> dict[str, Any]:
    """What images can tell of this case, by field, and what is known of it."""
    fields = [guide.field for guide in GUIDES.values() if guide.field]
    return {path: sheet.value_at(path) for path in fields}


def followup_lacks(board: Board) -> list[str]:
    """What Follow-up lacks in this case, in words."""
    care, lacks = board.stand.care, []
    if board.sheet.identity.operation_date is None:
        lacks.append("The day of the operation")
    if care.as_planned is None:
        lacks.append("Whether the repair was done as planned")
    if care.protocol is None:
        lacks.append("The surgeon's own protocol")
    return lacks


def theatre_lacks(board: Board, operation: Operation) -> list[str]:
    """What Theatre lacks, in words: before it opens what the plan needs, then each anchor without its implant."""
    if operation.first is not None:
        return [f"The implant of anchor {place}" for place in places_without(operation)]
    lacks = [] if board.layout else ["A repair pattern"]
    if board.sheet.identity.operation_date is None:
        lacks.append("The day of the operation")
    return [*lacks, "Identity and side, confirmed in theatre"]


def missing(request: Request, key: str, board: Board) -> dict[str, int]:
    """How many things each place of case ``key`` lacks, for the thread."""
    state = request.app.state
    found = missing_before(board)
    with suppress(CuffError):
        operation = state.operations.now(key).operation
        found["Theatre"] = len(theatre_lacks(board, operation))
        found["Record"] = len(_record(key, board, operation, state).missing)
    return found


def _record(key: str, board: Board, operation: Operation, state: Any) -> Record:
    """The record as it stands, before theatre that of the plan; which limb goes when fills nothing in it."""
    if operation.first is None:
        plan = plan_of(board, state.bench.prepared, state.operations.template(), state.operations.today())
        operation = planned(operation, plan, state.cases.clock())
    return record_of(key, board, operation)


def missing_before(board: Board) -> dict[str, int]:
    """How many things the places before and after the operation lack."""
    images = sum(known is None for known in readable(board.sheet).values()) if board.imports else 1
    return {
        "Images": images,
        "Tear": unknown(board.sheet),
        "Access": len(access_lacks(board)),
        "Follow-up": len(followup_lacks(board)),
    }
