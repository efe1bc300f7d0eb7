"""Judgement on the place Tear: every model as an interval on one scale, classes, reasons, work on bone, statements."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from cuffwright.case.fact import FactBook
from cuffwright.case.odds import Judged, OddsAnswer
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.judging import judged
from cuffwright.evidence.statements import statements
from cuffwright.healing.models import NOT_HEALED
from cuffwright.web.measures import WORDS

WIDTH, INSET = 340, 12
"""Numerical choice: width of a row's drawing and its margin, CSS pixels."""

TICKS = (0, 25, 50, 75, 100)
"""Numerical choice: percent at which the common scale is marked."""

PERCENT = 100
"""Numerical choice: percent of a whole."""


@dataclass(frozen=True)
class DrawnOdds:
    """One model on the common scale of 0 to 100 %, CSS pixels; ``low`` and ``high`` None where nothing is computed."""

    said: OddsAnswer
    low: float | None
    high: float | None


UNITS = ("_mm", "_degrees")


def label(path: str) -> str:
    """What an input is called, such as "Infraspinatus fat", for a path of the case."""
    if path in WORDS:
        return WORDS[path][0]
    name = path.split(".")[-1]
    for unit in UNITS:
        name = name.removesuffix(unit)
    words = name.replace("_", " ").replace("t score", "T-score")
    return words[:1].upper() + words[1:]


def labels(paths: Iterable[str]) -> str:
    """Several inputs by what they are called."""
    return ", ".join(label(path) for path in paths)


def place(share: float) -> float:
    """Where a share stands on the common scale."""
    return round(INSET + (WIDTH - 2 * INSET) * share, 1)


def drawn(one: OddsAnswer) -> DrawnOdds:
    """Put one model on the scale; a model that computes nothing is not drawn, only told."""
    if one.low is None or one.high is None:
        return DrawnOdds(one, None, None)
    return DrawnOdds(one, place(one.low), place(one.high))


def judgement_of(sheet: CaseSheet, book: FactBook) -> Judged:
    """What the packaged evidence says of a case."""
    return judged(sheet, book, benefit=statements("benefit"), statements=statements("guideline"))


def judgement_view(key: str, sheet: CaseSheet, book: FactBook) -> dict[str, Any]:
    """What the fragment needs: what is missing first, then structure, benefit, classes, reasons and work on bone."""
    found = judgement_of(sheet, book)
    blocked: dict[str, list[str]] = {}
    for one in found.odds:
        for path in (*one.missing, *one.over_all_values_of):
            blocked.setdefault(path, []).append(one.title)
    for scheme in found.classes:
        for path in scheme.missing if scheme.value is None else ():
            blocked.setdefault(path, []).append(scheme.title)
    return {
        "key": key,
        "found": found,
        "blocked": blocked,
        "labels": labels,
        "structure": [drawn(one) for one in found.odds if one.outcome == NOT_HEALED],
        "others": [drawn(one) for one in found.odds if one.outcome != NOT_HEALED],
        "rivals": [(asked, list(schemes)) for asked, schemes in groupby(found.classes, key=lambda one: one.rivals)],
        "ticks": [(place(percent / PERCENT), percent) for percent in TICKS],
        "width": WIDTH,
    }
