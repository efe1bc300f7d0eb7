"""Measures and findings written into a case on the page: checked as strictly as a case file."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.course.laying import following
from cuffwright.course.measuring import ChangeSheet
from cuffwright.exchange.plain import sheet_from_plain, sheet_to_plain
from cuffwright.web.measure_words import label_of
from cuffwright.web.refusal import Refusal
from cuffwright.web.sheet_fields import field_at

LONGEST_TEXT = 500
"""Numerical choice: characters of one text in a case."""

OUTLINE = "tear.missing_tissue"
"""The drawn outline of missing tissue: corners, chart (u, v) in mm."""

MOST_CORNERS = 24
"""Numerical choice: corners a drawn outline may have."""


@dataclass(frozen=True)
class SetMeasures:
    """Write these values, each as a case file would hold it, at these paths; None makes one unknown again."""

    values: Mapping[str, Any]


def written(board: Board, wanted: SetMeasures, lay: Callable[[CaseSheet, str], Layout]) -> ChangeSheet:
    """The sheet with the values in it, and the repair that goes with it.

    A repair that still stands as its pattern was laid is laid anew on the changed tear; one that a hand has moved stays
    where it was put.

    Raises
    ------
    Refusal
        When a path is no field that can be filled.
    CaseError
        When a value is impossible or contradicts another.
    """
    plain = sheet_to_plain(board.sheet)
    for path, value in wanted.values.items():
        if path != OUTLINE:
            field_at(path)
        _check_size(path, value)
        part, name = path.split(".")
        table = plain.setdefault(part, {})
        if value is None or value == []:
            table.pop(name, None)
        else:
            table[name] = value
    sheet = sheet_from_plain(plain)
    return ChangeSheet(sheet, following(board, sheet, lay), _words(wanted))


def _check_size(path: str, value: Any) -> None:
    texts = [value, *(value.values() if isinstance(value, dict) else ())]
    if any(isinstance(text, str) and len(text) > LONGEST_TEXT for text in texts):
        raise Refusal(422, f"{path}: a text of more than {LONGEST_TEXT} characters; write it shorter")
    if isinstance(value, list) and len(value) > MOST_CORNERS:
        raise Refusal(422, f"{path}: more than {MOST_CORNERS} entries; leave out those that matter least")


def _words(wanted: SetMeasures) -> str:
    labels = [label_of(path).split(",")[0].lower() for path in wanted.values]
    gone = all(value is None or value == [] for value in wanted.values.values())
    return f"{', '.join(labels[:2])}{' and more' if len(labels) > 2 else ''} {'cleared' if gone else 'set'}"
