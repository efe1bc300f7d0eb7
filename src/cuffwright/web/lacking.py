"""What each place of a case still lacks."""

from typing import Any

from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.imaging.measures.all_guides import GUIDES
from cuffwright.web.measure_words import WORDS
from cuffwright.web.measures import unknown

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


def missing(board: Board) -> dict[str, int]:
    """How many things each place lacks, for the thread."""
    images = sum(known is None for known in readable(board.sheet).values()) if board.imports else 1
    return {
        "Images": images,
        "Tear": unknown(board.sheet),
        "Access": len(access_lacks(board)),
        "Follow-up": len(followup_lacks(board)),
    }
