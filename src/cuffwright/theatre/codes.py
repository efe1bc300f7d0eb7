"""Codes of the diagnosis: ICD-10-CM for tears of the cuff, which is in the public domain, read place by place.

Only what the record supports is offered, and a code of the other side or depth is refused. The classification changes
each October. Procedures have no list here, since the texts of procedure codes are not free: a hospital enters its own.
"""

import re
from typing import Literal

from cuffwright.case.entry import Coded
from cuffwright.case.errors import CaseError
from cuffwright.theatre.operation import Operation

ICD = "ICD-10-CM"
DEGREES = {"0": "tear, depth unspecified", "1": "incomplete tear", "2": "complete tear"}
SIDES = {"1": "right", "2": "left"}
SEVENTH = {"A": "initial encounter, operated", "D": "later encounter", "S": "sequela"}
WORN = re.compile(r"M75\.1([012])([012])")
TORN = re.compile(r"S46\.01([129])([ADS])")
DEPTH = "tear.full_thickness"


def icd_choices(operation: Operation, side: Literal["right", "left"]) -> tuple[tuple[str, str], ...]:
    """The codes this record supports, each with words of our own: first not traumatic, then traumatic."""
    digit = next(key for key, name in SIDES.items() if name == side)
    depth = _depth(operation)
    degrees = [depth] if depth else [*DEGREES]
    codes = [f"M75.1{degree}{digit}" for degree in reversed(degrees)] + [f"S46.01{digit}A"]
    return tuple((code, icd_words(code)) for code in codes)


def icd_words(code: str) -> str:
    """What a code says, in words of our own; raises CaseError when it is none of a tear of the cuff."""
    worn, torn = WORN.fullmatch(code), TORN.fullmatch(code)
    if worn:
        return f"{DEGREES[worn[1]]} of the cuff, not traumatic, {SIDES.get(worn[2], 'side unspecified')}"
    if torn:
        return f"traumatic tear of the cuff, {SIDES.get(torn[1], 'side unspecified')}, {SEVENTH[torn[2]]}"
    raise CaseError(f"{code} is no code of {ICD} for a tear of the cuff; choose one that is offered")


def check_code(operation: Operation, entry: Coded, side: str) -> None:
    """Refuse a code of the other side, of another depth than the case's, or of no tear of the cuff.

    Raises
    ------
    CaseError
        Naming what the code and the case say.
    """
    if entry.system != ICD:
        return
    if entry.about != "diagnosis":
        raise CaseError(f"{ICD} has no codes of procedures; enter the hospital's own under its own name")
    words = icd_words(entry.code)
    worn, torn = WORN.fullmatch(entry.code), TORN.fullmatch(entry.code)
    named = SIDES.get(worn[2] if worn else torn[1] if torn else "")
    if named != side:
        raise CaseError(
            f"{entry.code} says {named or 'no side'} and this is a {side} shoulder; choose a code of its side"
        )
    depth = _depth(operation)
    if worn and depth and worn[1] != depth:
        raise CaseError(f"{entry.code} says {words}, and the case says {DEGREES[depth]}; choose a code that agrees")


def _depth(operation: Operation) -> str:
    """The place of the classification that the case's depth has; empty when it is not known."""
    said = dict(operation.first.sheet_words).get(DEPTH) if operation.first else None
    return {"yes": "2", "no": "1"}.get(said or "", "")
