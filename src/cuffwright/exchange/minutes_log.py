"""A site's own log of operations with suture limbs: counts of each kind of move, and the minutes they took."""

import csv
import math
from pathlib import Path

from cuffwright.case.errors import FormatError
from cuffwright.case.limbs import MoveKind
from cuffwright.limbs.counts import TIMED, Logged

WORDS = ", ".join((*TIMED, "minutes"))


def read_minutes(path: Path) -> tuple[Logged, ...]:
    """The operations of a CSV file with the columns of :data:`WORDS`, one operation a line.

    Raises
    ------
    FormatError
        When the file cannot be read, has other columns, or a line holds no whole counts or no positive minutes.
    """
    try:
        lines = list(csv.DictReader(path.read_text("utf-8").splitlines()))
    except (OSError, UnicodeDecodeError):
        raise FormatError(f"{path} cannot be read as text; give a CSV file of logged operations") from None
    wanted = {*TIMED, "minutes"}
    return tuple(_operation(path.name, number, line, wanted) for number, line in enumerate(lines, start=2))


def _operation(name: str, number: int, line: dict[str, str], wanted: set[str]) -> Logged:
    if set(line) != wanted:
        raise FormatError(f"{name} line {number}: the columns are {WORDS}; name them so in the first line")
    try:
        counts: dict[MoveKind, int] = {kind: int(line[kind] or 0) for kind in TIMED}
        minutes = float(line["minutes"])
    except (TypeError, ValueError):
        raise FormatError(f"{name} line {number}: counts are whole numbers and minutes a number; correct it") from None
    if min(counts.values()) < 0 or not math.isfinite(minutes) or minutes <= 0:
        raise FormatError(f"{name} line {number}: counts are at least 0 and minutes above 0; correct it")
    return Logged(counts, minutes)
