"""From numbered answers to a score, by the table of that score alone; too few answers give none."""

from math import floor

from cuffwright.case.errors import CaseError
from cuffwright.case.score import Answers, Part, PartAnswer, ScoreResult, ScoreTable

PLACES = 4
"""Numerical choice: decimals kept of a score; finer than any published one."""


def score(table: ScoreTable, answers: Answers) -> ScoreResult:
    """The score of these answers.

    Raises
    ------
    CaseError
        When an answer is out of range, a part is unknown, or the score needs a version that is not named.
    """
    if answers.score != table.name:
        raise CaseError(f"the answers are to {answers.score}, the score is {table.name}; give the answers of one score")
    parts = _parts(table, answers)
    given = dict(answers.parts)
    strange = sorted(set(given) - {part.name for part in parts})
    if strange:
        known = ", ".join(part.name for part in parts)
        raise CaseError(f"{table.name} has no part {strange[0]}; its parts are {known}")
    notes: list[str] = [table.note] if table.note else []
    if table.how:
        notes.append(f"measured so: {answers.how}" if answers.how else f"not told: {table.how}; ways differ")
    found: list[tuple[str, float | None]] = []
    lacking: list[str] = []
    top = table.high
    for part in parts:
        if part.after_only and answers.moment == "before":
            if given.get(part.name):
                raise CaseError(f"{table.name}: {part.name} cannot be answered before the operation; leave it out")
            top -= part.worth
            notes.append(f"{part.name} has no answer before the operation: the most is {top:g} of {table.high:g}")
            continue
        points, why = part_points(table.name, part, given.get(part.name, PartAnswer()))
        found.append((part.name, None if points is None else round(points, PLACES)))
        notes += [why] if why and points is not None else []
        lacking += [why] if points is None else []
    value = None if lacking else round(table.low + sum(points or 0.0 for _, points in found), PLACES)
    return ScoreResult(
        name=table.name,
        title=table.title,
        value=value,
        low=table.low,
        top=top,
        unit=table.unit,
        best=table.best,
        parts=tuple(found),
        why="" if not lacking else f"no score: {'; '.join(lacking)}. Rule: {table.missing_rule}",
        notes=tuple(notes),
        source=table.source,
        verified=table.verified,
        how=answers.how,
    )


def _parts(table: ScoreTable, answers: Answers) -> tuple[Part, ...]:
    if table.versions and answers.version not in table.versions:
        known = " or ".join(table.versions)
        raise CaseError(f"{table.name} ran in two directions: name its version, {known}; no value without it")
    if not table.versions and answers.version:
        raise CaseError(f"{table.name} has no version {answers.version}; leave it out")
    needs_moment = any(part.after_only for part in table.parts)
    if needs_moment and answers.moment is None:
        raise CaseError(f"{table.name} differs before and after an operation: say which, before or after")
    return tuple(part for part in table.parts if part.version in ("", answers.version))


def part_points(score_name: str, part: Part, answer: PartAnswer) -> tuple[float | None, str]:
    """Points of one part and a note, or None and what is missing; raises CaseError on an impossible answer."""
    where = f"{score_name}, {part.name}"
    total, answered, why = _summed(where, part, answer)
    if total is None or answered < part.least:
        needs = f"{part.least} of {part.items} answers" if part.items > 1 else "its answer"
        return None, f"{part.name} needs {needs}, has {answered}"
    if part.bands:
        return _banded(part, total), why
    if part.per is not None:
        return min(part.worth, float(floor(total / part.per + 1 / 2))), why
    way = (total / answered - part.low) / (part.high - part.low)
    return part.worth * (1 - way if part.turned else way), why


def _banded(part: Part, measure: float) -> float:
    points = 0.0
    for edge, worth in part.bands:
        if measure >= edge:
            points = worth
    return points


def _summed(where: str, part: Part, answer: PartAnswer) -> tuple[float | None, int, str]:
    if answer.total is not None:
        if answer.values:
            raise CaseError(f"{where}: give the answers or their total, not both")
        answered = part.items if answer.answered is None else answer.answered
        if not 0 < answered <= part.items:
            raise CaseError(f"{where}: {answered} answers of {part.items} cannot be; count again")
        if not part.low * answered <= answer.total <= part.high * answered:
            raise CaseError(
                f"{where}: a total of {answer.total:g} cannot be reached with {answered} answers of"
                f" {part.low:g} to {part.high:g}; add again"
            )
        if part.items == 1:
            _check(where, part, answer.total)
        told = f"{part.name} was given as a total: a missing answer cannot be seen" if part.items > 1 else ""
        return answer.total, answered, told
    if len(answer.values) > part.items:
        raise CaseError(f"{where}: {len(answer.values)} answers, there are {part.items}")
    known = [value for value in answer.values if value is not None]
    for value in known:
        _check(where, part, value)
    left_out = part.items - len(known)
    why = (
        f"{part.name}: {left_out} of {part.items} left out, the mean of the others stands for them" if left_out else ""
    )
    return (sum(known) if known else None), len(known), why


def _check(where: str, part: Part, value: float) -> None:
    if not part.low <= value <= part.high:
        raise CaseError(f"{where}: {value:g} lies outside {part.low:g} to {part.high:g} {part.unit}")
    if part.steps and value not in part.steps:
        allowed = ", ".join(f"{step:g}" for step in part.steps)
        raise CaseError(f"{where}: {value:g} is no answer; allowed are {allowed}")
