"""A repair that was laid on a tear measured otherwise since, in one sentence, and whether it can be laid anew."""

from typing import Any

from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.web.bench import Bench
from cuffwright.web.measure_words import label_of
from cuffwright.web.spread_words import by_spread

LAYS = ("tear.", "footprint.")
"""The parts of a case a pattern is laid by."""

MOST = 2
"""Numerical choice: changed measures that are named; more would not be one sentence."""


def older_view(board: Board, bench: Bench) -> dict[str, Any] | None:
    """The sentence, and the pattern to lay anew (None when it cannot be); None when the repair fits its tear."""
    found = bench.older(board)
    if found is None:
        return None
    changed = _changed(found.laid_on, board.sheet)
    since = f": {'; '.join(changed[:MOST])}{'; and more' if len(changed) > MOST else ''}" if changed else ""
    if found.refused:
        words = f"This repair was laid on the case as it was before{since}; it cannot be laid anew: {found.refused}"
        return {"words": words, "pattern": None}
    why = "changed by hand, so it stays where you put it" if found.by_hand else "laid before"
    return {
        "words": f"This repair was {why}, but the case was measured otherwise since{since}.",
        "pattern": found.pattern,
    }


def _changed(then: CaseSheet, now: CaseSheet) -> list[str]:
    """What was measured otherwise, each with its value then and now."""
    before = dict(then.measurements())
    return [
        f"{label_of(path).split(',')[0].lower()} {_value(before.get(path))} then, {_value(held)} now"
        for path, held in now.measurements()
        if path.startswith(LAYS) and _value(held) != _value(before.get(path))
    ]


def _value(held: Measurement | None) -> str:
    return f"{by_spread(held.value, held.sd)[0]} mm" if held else "unknown"
