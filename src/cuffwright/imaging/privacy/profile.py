"""The table of the basic profile: PS3.15, Table E.1-1, edition 2026c.

``basic_profile.csv`` holds one attribute a line: tag, mask for repeating groups, keyword (for readers; blank for a
few), action code. It was taken from the package dicom-anonymizer 2.1.0 (BSD licence), which carries that edition as
data; the standard's other columns (options) are not in it.
"""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

Deed = Literal["remove", "empty", "dummy", "new uid"]
"""What is done with an attribute."""

DEEDS: dict[str, Deed] = {
    "X": "remove",
    "X/Z": "remove",
    "X/D": "dummy",
    "X/Z/D": "dummy",
    "X/Z/U/STAR": "new uid",
    "Z": "empty",
    "Z/D": "dummy",
    "D": "dummy",
    "U": "new uid",
}
"""Action codes to deeds. Where a code leaves the choice to the attribute's type, the one that is valid for every type
that occurs in image objects is taken: a dummy where a value may be required, else removal."""

RETAINED_CHARACTERISTICS = ("PatientSex", "PatientAge", "PatientSize", "PatientWeight")
"""Attributes kept under the option that retains patient characteristics."""


@dataclass(frozen=True)
class Row:
    """One line of the table; ``mask`` has a bit set for every bit of the tag that must match."""

    tag: int
    mask: int
    keyword: str
    action: str

    @property
    def deed(self) -> Deed:
        """What is done with it."""
        return DEEDS[self.action]


@cache
def profile_rows() -> tuple[Row, ...]:
    """Every line of the table."""
    text = files("cuffwright.imaging.privacy").joinpath("basic_profile.csv").read_text("utf-8")
    return tuple(
        Row(int(r["tag"], 16), int(r["mask"] or "FFFFFFFF", 16), r["keyword"], r["action"])
        for r in csv.DictReader(text.splitlines())
    )


@cache
def _plain() -> dict[int, Deed]:
    return {row.tag: row.deed for row in profile_rows() if row.mask == 0xFFFFFFFF}


@cache
def _repeating() -> tuple[Row, ...]:
    return tuple(row for row in profile_rows() if row.mask != 0xFFFFFFFF)


def deed_for(tag: int) -> Deed | None:
    """What the profile does with an attribute, or nothing when it does not name it."""
    found = _plain().get(tag)
    if found is not None:
        return found
    return next((row.deed for row in _repeating() if tag & row.mask == row.tag & row.mask), None)
