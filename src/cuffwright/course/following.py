"""Follow-up of one patient put together: due visits, scores, change, healing by imaging, recovery, complications."""

from collections.abc import Mapping
from datetime import date, timedelta

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.followup import FollowedUp, FollowUp, Recovery, Visit, VisitScores
from cuffwright.case.score import ScoreResult, ScoreTable
from cuffwright.course.general import GENERAL
from cuffwright.outcome.change import change
from cuffwright.outcome.integrity import imaged
from cuffwright.outcome.norms import relative
from cuffwright.outcome.recovery import recovery
from cuffwright.outcome.scoring import score
from cuffwright.outcome.visits import due_visits

DAYS_PER_WEEK = 7
"""Numerical choice: days of a week."""

DECIMALS = 1
"""Numerical choice: decimals of weeks since the operation."""


def followed(record: FollowUp, tables: Mapping[str, ScoreTable], book: FactBook, *, today: date) -> FollowedUp:
    """Work out a follow-up on the day ``today``.

    Raises
    ------
    CaseError
        When an answer is impossible, or a visit lies after today.
    """
    facts = Citing(book)
    late = [visit.day for visit in record.visits if visit.day > today]
    if late:
        raise CaseError(f"a visit on {late[0]} lies after today, {today}; correct the day")
    ordered = sorted(record.visits, key=lambda visit: visit.day)
    visits = tuple(_visit(record, visit, tables, facts) for visit in ordered)
    before = {one.name: one for visit in visits if visit.weeks <= 0 for one in visit.scores}
    changes = tuple(
        (visit.day, change(tables[one.name], before[one.name], one))
        for visit in visits
        for one in visit.scores
        if visit.weeks > 0 and one.name in before
    )
    return FollowedUp(
        patient=record.patient,
        side=record.side,
        operation_date=record.operation_date,
        today=today,
        due=due_visits(record.operation_date, tuple(visit.day for visit in visits), today, facts),
        visits=visits,
        changes=changes,
        integrity=tuple(imaged(record.operation_date, visit.day, visit.seen, facts) for visit in ordered if visit.seen),
        recovery=_recoveries(visits, tables),
        complications=record.complications,
        cautions=(*GENERAL, *_cautions(record, visits, today, facts)),
        facts=tuple(facts.used),
        version=__version__,
        edition=book.edition,
    )


def weeks_after(operation: date, day: date) -> float:
    """Weeks from the operation to a day; below 0 before it."""
    return round((day - operation).days / DAYS_PER_WEEK, DECIMALS)


def _visit(record: FollowUp, visit: Visit, tables: Mapping[str, ScoreTable], facts: Citing) -> VisitScores:
    found: list[ScoreResult] = []
    for answers in visit.answers:
        if answers.score not in tables:
            raise CaseError(f"there is no score {answers.score}; choose one of {', '.join(tables)}")
        found.append(score(tables[answers.score], answers))
    constant = next((one.value for one in found if one.name == "constant"), None)
    norms = () if constant is None else relative(constant, record.age, record.sex, facts)
    return VisitScores(visit.day, weeks_after(record.operation_date, visit.day), tuple(found), norms)


def _recoveries(visits: tuple[VisitScores, ...], tables: Mapping[str, ScoreTable]) -> tuple[Recovery, ...]:
    names = dict.fromkeys(one.name for visit in visits for one in visit.scores)
    courses = {
        name: tuple((visit.weeks, one) for visit in visits for one in visit.scores if one.name == name)
        for name in names
    }
    found = (recovery(tables[name], course) for name, course in courses.items())
    return tuple(one for one in found if one is not None)


def _cautions(record: FollowUp, visits: tuple[VisitScores, ...], today: date, facts: Citing) -> tuple[str, ...]:
    found = []
    if record.as_planned is None:
        found.append("Whether the repair was done as planned is not known: nothing planned is shown as done.")
    if record.as_planned is False:
        found.append("The repair was not done as planned: no sheet made from the plan holds.")
    found += (*_without_change(visits), *_measured_otherwise(visits))
    if any(one.name == "constant" and one.value is not None for visit in visits for one in visit.scores):
        lacking = [name for name, value in (("age", record.age), ("sex", record.sex)) if value is None]
        if lacking:
            found.append(f"Constant score as percent of normal not computed, needs {' and '.join(lacking)}.")
        elif not any(visit.relative for visit in visits):
            found.append("Constant score as percent of normal not computed: no table covers this age and sex.")
    if not any(visit.seen for visit in record.visits):
        weeks = facts.number("retear.weeks.sure")
        when = "now" if today >= record.operation_date + timedelta(weeks=weeks) else f"from week {weeks:g} on"
        found.append(f"Whether the repair is whole is not known, needs imaging {when}; a score does not tell it.")
    return tuple(found)


def _without_change(visits: tuple[VisitScores, ...]) -> list[str]:
    """One sentence for each score that was given on one side of the operation alone."""
    sides: dict[str, set[bool]] = {}
    for visit in visits:
        for one in visit.scores:
            sides.setdefault(one.name, set()).add(visit.weeks > 0)
    words = {True: "the same score before the operation", False: "the same score after the operation"}
    return [
        f"Change of {name} not computed, needs {words[after]}."
        for name, told in sides.items()
        for after in told
        if len(told) == 1
    ]


def _measured_otherwise(visits: tuple[VisitScores, ...]) -> list[str]:
    """One sentence for each score that was measured in another way at two visits."""
    ways: dict[str, list[str]] = {}
    for visit in visits:
        for one in visit.scores:
            if one.how and one.how not in ways.setdefault(one.name, []):
                ways[one.name].append(one.how)
    return [
        f"{name} was measured in {len(told)} ways ({'; '.join(told)}): a change may be one of the way."
        for name, told in ways.items()
        if len(told) > 1
    ]
