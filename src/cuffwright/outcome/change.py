"""Change of a score between two visits, against each published limit apart, with what was possible at all."""

from cuffwright.case.score import Change, Reached, ScoreResult, ScoreTable, Threshold
from cuffwright.outcome.scoring import PLACES

PERCENT = 100.0
"""Numerical choice: percent of a whole."""


def change(table: ScoreTable, before: ScoreResult, after: ScoreResult) -> Change:
    """How much better (above 0) and which limits were reached; nothing where either score is missing."""
    if before.top != after.top:
        why = f"the most was {before.top:g} before and {after.top:g} after: the change of the total is not computed"
        return _none(table, after, why)
    if before.value is None or after.value is None:
        return _none(table, after, before.why or after.why)
    sign = 1 if table.best == "highest" else -1
    gained = round(sign * (after.value - before.value), PLACES)
    best = table.high if table.best == "highest" else table.low
    return Change(
        name=table.name,
        change=gained,
        reached=tuple(_reached(table, limit, gained, after.value) for limit in table.thresholds),
        possible_percent=possible_percent(before.value, after.value, best),
        why="",
    )


def possible_percent(before: float, after: float, best: float) -> float | None:
    """Percent of the improvement that was possible; None where none was."""
    if before == best:
        return None
    return round(PERCENT * (after - before) / (best - before), PLACES)


def _none(table: ScoreTable, after: ScoreResult, why: str) -> Change:
    reached = []
    for limit in table.thresholds:
        state = limit.kind == "pass" and after.value is not None
        reached.append(_reached(table, limit, None, after.value) if state else Reached(limit, None, why))
    return Change(table.name, None, tuple(reached), None, why)


def _reached(table: ScoreTable, limit: Threshold, gained: float | None, after: float | None) -> Reached:
    if limit.kind != "pass":
        return Reached(limit, None if gained is None else gained >= limit.value, "")
    if after is None:
        return Reached(limit, None, "the score after is missing")
    return Reached(limit, after >= limit.value if table.best == "highest" else after <= limit.value, "")
