"""A record of moves with suture limbs as a CSV file: one move a line, or a count of which limbs hang where."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

from cuffwright.case.errors import FormatError
from cuffwright.case.limbs import Move, MoveKind

COLUMNS = ("move", "limbs", "from", "to", "anchor", "under", "grab", "held")
"""What a line may say; only ``move`` must stand in every file."""

CENSUS = "census"
"""The word of a line that counts which limbs hang out of the portal ``to``."""

GRABS = {"": "at the source", "source": "at the source", "mid": "mid-strand"}
HELD = {"": True, "yes": True, "no": False}


@dataclass(frozen=True)
class Census:
    """Which limbs were seen to hang out of which portal, all of them at once."""

    hanging: dict[str, tuple[str, ...]]


def read_records(path: Path, limbs: Sequence[str]) -> tuple[Move | Census, ...]:
    """The moves and counts of a CSV file with columns of :data:`COLUMNS`; ``limbs`` are the names there are.

    ``1a`` stands for both limbs of a suture. Lines of a census that follow one another are one count.

    Raises
    ------
    FormatError
        When the file cannot be read, has other columns, or a line says what no move is.
    """
    try:
        lines = list(csv.DictReader(path.read_text("utf-8").splitlines()))
    except (OSError, UnicodeDecodeError):
        raise FormatError(f"{path} cannot be read as text; give a CSV file of moves") from None
    found: list[Move | Census] = []
    for number, line in enumerate(lines, start=2):
        where = f"{path.name} line {number}"
        if not set(line) <= set(COLUMNS) or "move" not in line:
            raise FormatError(f"{where}: the columns are {', '.join(COLUMNS)}; name them so in the first line")
        words = {name: (line.get(name) or "").strip() for name in COLUMNS}
        if words["move"] != CENSUS:
            found.append(_move(where, words, limbs))
        elif found and isinstance(found[-1], Census):
            found[-1].hanging[words["to"]] = _names(words["limbs"], limbs)
        else:
            found.append(Census({words["to"]: _names(words["limbs"], limbs)}))
    return tuple(found)


def _move(where: str, words: dict[str, str], limbs: Sequence[str]) -> Move:
    kinds: dict[str, MoveKind] = {kind: kind for kind in get_args(MoveKind)}
    kind = kinds.get(words["move"])
    if kind is None:
        raise FormatError(f"{where}: {words['move']!r} is no move; write one of {', '.join((*kinds, CENSUS))}")
    if words["grab"] not in GRABS or words["held"] not in HELD:
        raise FormatError(f"{where}: grab is source or mid, held is yes or no; leave them empty if not noted")
    named = _names(words["limbs"], limbs)
    if kind in ("pass", "penetrate", "unpass") and len(named) != 1:
        raise FormatError(f"{where}: {kind} is about one limb; write a line for each")
    if kind in ("retrieve", "tie", "cut") and not named:
        raise FormatError(f"{where}: {kind} is about limbs; name them")
    return Move(
        kind,
        named,
        words["from"],
        words["to"],
        words["anchor"],
        _names(words["under"], limbs),
        "mid-strand" if GRABS[words["grab"]] == "mid-strand" else "at the source",
        HELD[words["held"]],
    )


def _names(words: str, limbs: Sequence[str]) -> tuple[str, ...]:
    """Limbs by their names; a suture's name stands for both of its limbs."""
    return tuple(
        limb
        for word in words.split()
        for limb in ((f"{word}F", f"{word}B") if f"{word}F" in limbs and word not in limbs else (word,))
    )
