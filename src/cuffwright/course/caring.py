"""Care after the operation as changes of a case: what was written down, and sheets released by the surgeon."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from cuffwright.case.care import Care, ReleasedSheets
from cuffwright.case.errors import CaseError
from cuffwright.case.followup import Complication, FollowUp, Seen, Visit
from cuffwright.case.score import Answers
from cuffwright.case.sheet import CaseSheet


@dataclass(frozen=True)
class WriteCare:
    """Let this record stand from now on; ``words`` say what is new in it."""

    care: Care
    words: str


@dataclass(frozen=True)
class ReleaseSheets:
    """Release these sheets for print."""

    sheets: ReleasedSheets


@dataclass(frozen=True)
class CareWritten:
    """The record came to stand so."""

    care: Care
    words: str


@dataclass(frozen=True)
class SheetsReleased:
    """The surgeon released these sheets."""

    sheets: ReleasedSheets


def cared(command: WriteCare | ReleaseSheets) -> CareWritten | SheetsReleased:
    """The change that a command makes."""
    match command:
        case WriteCare(care, words):
            return CareWritten(care, words)
        case ReleaseSheets(sheets):
            return SheetsReleased(sheets)


def record(sheet: CaseSheet, care: Care) -> FollowUp:
    """The follow-up of this case; raises CaseError without a day of the operation, or where a day contradicts it."""
    if sheet.identity.operation_date is None:
        raise CaseError("a follow-up needs the day of the operation; set identity.operation_date on Tear")
    return FollowUp(
        patient=sheet.identity.patient,
        side=sheet.identity.side,
        operation_date=sheet.identity.operation_date,
        visits=care.visits,
        complications=care.complications,
        age=sheet.patient.age,
        sex=sheet.patient.sex,
        as_planned=care.as_planned,
    )


def with_answers(care: Care, day: date, answers: Answers) -> Care:
    """The record with the answers to one score on a day; earlier answers to it on that day give way."""

    def told(visit: Visit) -> Visit:
        others = tuple(one for one in visit.answers if one.score != answers.score)
        return replace(visit, answers=(*others, answers))

    return _on(care, day, told)


def with_image(care: Care, day: date, seen: Seen) -> Care:
    """The record with the repair as an image of that day shows it."""
    return _on(care, day, lambda visit: replace(visit, seen=seen))


def with_complication(care: Care, event: Complication) -> Care:
    """The record with one event more, in order of days."""
    return replace(care, complications=tuple(sorted((*care.complications, event), key=lambda one: one.day)))


def without_visit(care: Care, day: date) -> Care:
    """The record without the visit of that day; raises CaseError when there was none."""
    left = tuple(visit for visit in care.visits if visit.day != day)
    if left == care.visits:
        raise CaseError(f"there is no visit on {day}; choose one of those on record")
    return replace(care, visits=left)


def without_complication(care: Care, place: int) -> Care:
    """The record without the complication at ``place``, counted from 0; raises CaseError when there is none there."""
    if not 0 <= place < len(care.complications):
        raise CaseError("there is no such complication; choose one of those on record")
    return replace(care, complications=tuple(one for at, one in enumerate(care.complications) if at != place))


def _on(care: Care, day: date, told: Callable[[Visit], Visit]) -> Care:
    here = next((visit for visit in care.visits if visit.day == day), Visit(day))
    others = [visit for visit in care.visits if visit.day != day]
    return replace(care, visits=tuple(sorted((*others, told(here)), key=lambda visit: visit.day)))
