"""What else a practice's follow-ups add up to: limits of scores reached, events of the first half year."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import get_args

from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.followup import Complication, FollowUp
from cuffwright.case.practice import EventShare, ShareReached
from cuffwright.case.score import Change, ScoreTable
from cuffwright.course.following import followed
from cuffwright.outcome.practice.share import wilson

KINDS: tuple[str, ...] = get_args(Complication.__dataclass_fields__["kind"].type)
PUBLISHED = {kind: f"risk.months6.{kind}" for kind in ("stiffness", "pain", "cuff", "nerve", "infection", "device")}


def reached(
    records: Iterable[FollowUp], tables: Mapping[str, ScoreTable], book: FactBook, today: date
) -> tuple[ShareReached, ...]:
    """Each default limit of each score given: how many reached it at their last visit, and how many not told."""
    last: dict[str, list[Change]] = {}
    every = tuple(records)
    for record in every:
        till = tuple(visit for visit in record.visits if visit.day <= today)
        found = followed(replace(record, visits=till), tables, book, today=today)
        for name, change in {change.name: change for _, change in found.changes}.items():
            last.setdefault(name, []).append(change)
    return tuple(share for name in tables if name in last for share in _shares(tables[name], last[name], len(every)))


def _shares(table: ScoreTable, changes: list[Change], patients: int) -> list[ShareReached]:
    found = []
    for limit in (one for one in table.thresholds if one.default):
        said = [one.reached for change in changes for one in change.reached if one.threshold == limit]
        told = sum(one is not None for one in said)
        found.append(
            ShareReached(table.name, limit.kind, limit.value, said.count(True), told, patients - told, limit.source)
        )
    return found


def events(records: Iterable[FollowUp], today: date, facts: Citing) -> tuple[EventShare, ...]:
    """Patients with each kind of complication in their first half year, of all whose half year is over."""
    half = timedelta(weeks=facts.number("retear.weeks.sure"))
    due = [one for one in records if one.operation_date + half <= today]
    if not due:
        return ()
    errors = facts.number("practice.errors.inner")
    found = []
    for kind in KINDS:
        count = sum(
            any(e.kind == kind and e.day <= one.operation_date + half for e in one.complications) for one in due
        )
        row = facts.fact(PUBLISHED[kind]) if kind in PUBLISHED else None
        published, source = (row.value, row.source.source) if row else (None, "")
        found.append(EventShare(kind, count, len(due), wilson(count, len(due), errors), published, source))
    return tuple(found)
