"""Which kept cases count for the practice, and what is said of those that cannot."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from cuffwright.case.errors import CaseError
from cuffwright.case.followup import FollowUp
from cuffwright.course.board import Board
from cuffwright.course.caring import record
from cuffwright.web.cases import Cases


@dataclass(frozen=True)
class Kept:
    """Follow-ups of the kept cases, and in words what of the cases does not count or counts for something else."""

    records: tuple[FollowUp, ...]
    notes: tuple[str, ...]
    invented: int


def kept_records(cases: Cases, today: date) -> Kept:
    """The follow-up of every case whose operation is not after ``today``, archived ones too."""
    rows = cases.rows()
    boards = [(row.title or row.patient, cases.now(row.key).board) for row in rows if row.state == "open"]
    closed = len(rows) - len(boards)
    notes = [f"{closed} case{'' if closed == 1 else 's'} cannot be read and do not count."] if closed else []
    told: dict[tuple[str, str, date], list[tuple[str, FollowUp, Board]]] = defaultdict(list)
    for title, board in boards:
        operated = board.sheet.identity.operation_date
        if operated is None or operated > today:
            continue
        try:
            one = record(board.sheet, board.stand.care)
        except CaseError as contradiction:
            notes.append(f"{title} does not count: {contradiction}.")
            continue
        told[one.patient, one.side, operated].append((title, one, board))
    chosen = [max(same, key=_fullness) for same in told.values()]
    notes += [
        f"{same[0][0]}: {len(same)} cases hold one operation; the one with most on record counts."
        for same in told.values()
        if len(same) > 1
    ]
    notes += _silent(chosen)
    invented = sum(board.sheet.identity.invented for _, _, board in chosen)
    return Kept(tuple(one for _, one, _ in chosen), tuple(notes), invented)


def _fullness(one: tuple[str, FollowUp, Board]) -> int:
    return len(one[1].visits) + len(one[1].complications)


def _silent(chosen: Iterable[tuple[str, FollowUp, Board]]) -> list[str]:
    return [
        f"{title} has nothing on record since {one.operation_date}: once old enough it counts as lost. If it was not"
        " operated on, take the day of the operation out."
        for title, one, _ in chosen
        if not any(visit.day > one.operation_date for visit in one.visits) and not one.complications
    ]
