"""The course of a score beside the published mean time until it changes meaningfully."""

from cuffwright.case.followup import CurvePoint, Recovery
from cuffwright.case.score import ScoreResult, ScoreTable

WEEKS_PER_YEAR = 52.18
"""Numerical choice: weeks of a year."""

MONTHS_PER_YEAR = 12
"""Numerical choice: months of a year."""

DECIMALS = 1
"""Numerical choice: decimals of months on a curve."""


def months(weeks: float) -> float:
    """Weeks as months."""
    return round(weeks * MONTHS_PER_YEAR / WEEKS_PER_YEAR, DECIMALS)


def recovery(table: ScoreTable, course: tuple[tuple[float, ScoreResult], ...]) -> Recovery | None:
    """The curve of one score (weeks since the operation and result) with published marks; None without two values.

    Each published mark is its kind, the mean months until it, and the value that it stands for in this patient: the
    value before plus the limit for a change, the limit itself for a state; None where that is not known.
    """
    points = tuple(CurvePoint(months(weeks), one.value) for weeks, one in course if one.value is not None)
    if len(points) < 2:
        return None
    before = next((one.value for weeks, one in course if weeks <= 0 and one.top == table.high), None)
    limits = {one.kind: one.value for one in table.thresholds if one.default}
    sign = 1 if table.best == "highest" else -1
    marks: list[tuple[str, float, float | None]] = []
    for kind, when in table.recovery:
        limit = limits.get(kind)
        start = 0.0 if kind == "pass" else before
        stands = None if limit is None or start is None else start + (limit if kind == "pass" else sign * limit)
        marks.append((kind, when, stands))
    words = (
        "marks: mean months until the limit in published repairs; a mean, not a deadline"
        if marks
        else "no published course of this score is at hand"
    )
    return Recovery(table.name, points, tuple(marks), words)
