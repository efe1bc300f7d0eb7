"""Invented tears of every shape on either side, three footprints and three bones: what patterns are tried on."""

from collections.abc import Iterator
from dataclasses import asdict
from itertools import product
from math import isfinite
from typing import Any

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.identity import Identity
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.case.tissues import Bone, Footprint
from cuffwright.course.hold import hold
from cuffwright.repair.patterns import patterns

SIDES = ("right", "left")
GRADES = ("good", "fair", "poor")
FOOTPRINTS = {"small": (30.0, 10.5), "usual": (36.0, 13.0), "large": (42.0, 16.0)}


def mm(value: float) -> Measurement:
    """A typed length."""
    return Measurement(value, 0.5, "typed")


BOTH = ("supraspinatus", "infraspinatus")
TEARS = {
    "crescent": Tear(mm(18), shape="crescent", retraction_mm=mm(12), thickness_mm=mm(5), remaining_tendon_mm=mm(20)),
    "small": Tear(mm(9), shape="crescent"),
    "U": Tear(mm(24), BOTH, "U", retraction_mm=mm(30), thickness_mm=mm(4)),
    "L": Tear(mm(26), BOTH, "L", "anterior", mm(28), front_mm=mm(3)),
    "reverse L": Tear(mm(26), BOTH, "reverse L", "posterior", mm(25), mm(6)),
    "massive": Tear(mm(44), BOTH, "massive contracted", retraction_mm=mm(45), front_mm=mm(2)),
    "high-grade partial": Tear(mm(15), full_thickness=False, partial_depth_mm=mm(4), thickness_mm=mm(5)),
}


def cases() -> Iterator[tuple[str, CaseSheet]]:
    """Every case of the grid with its name: tear, side, footprint, bone and tissue."""
    for (shape, tear), side, (size, (ap, ml)), grade in product(TEARS.items(), SIDES, FOOTPRINTS.items(), GRADES):
        sheet = CaseSheet(
            Identity("invented", side),
            Tear(**{**vars(tear), "tissue": grade}),
            bone=Bone(quality=grade),
            footprint=Footprint(ap_mm=mm(ap), ml_mm=mm(ml)),
        )
        yield f"{shape}, {side}, {size} footprint, {grade}", sheet


def numbers(value: Any) -> Iterator[float]:
    """Every number within nested results."""
    if isinstance(value, dict):
        value = tuple(value.values())
    if isinstance(value, list | tuple):
        for item in value:
            yield from numbers(item)
    elif isinstance(value, float):
        yield value


def tried(sheet: CaseSheet, book: FactBook, pattern: str, draws: int) -> tuple[HoldResult | None, str]:
    """The answer, or None with the sentence that withholds it; raises whatever else happens."""
    try:
        result = hold(sheet, book, pattern=pattern, draws=draws)
    except OutsideValidity as refused:
        return None, str(refused)
    assert all(isfinite(number) for number in numbers(asdict(result))), "a number is not finite"
    assert all(0 <= one.ultimate.low <= one.ultimate.middle <= one.ultimate.high for one in result.scenarios)
    return result, ""


def trials() -> list[tuple[str, CaseSheet, str]]:
    """Every case with every pattern, in a fixed order."""
    return [(name, sheet, pattern) for name, sheet in cases() for pattern in patterns()]
