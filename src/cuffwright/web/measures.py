"""The measures of a case as short sentences, the unknown ones first with what they block, each with its form."""

from dataclasses import dataclass
from typing import Any

from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.web.measure_words import FINDINGS, NOTHING, WORDS, label_of
from cuffwright.web.sheet_fields import SheetField, sheet_fields
from cuffwright.web.spread_words import by_spread

__all__ = ["Measure", "findings", "measure_at", "measures", "theatre", "unknown"]

ORIGINS = {
    "image": "read on an image",
    "probe": "felt with the probe",
    "typed": "typed in",
    "scenario": "set by a scenario",
}

GRADES = ("tear.tissue", "tear.mobility", "tear.shape", "bone.quality", "patient.age")
"""Findings without a spread that are listed with the measures."""

THEATRE = ("tear.tissue", "bone.quality", "tear.mobility")
"""What only theatre can tell."""


@dataclass(frozen=True)
class Measure:
    """One measure in words: what it is, its value with unit and spread, its origin and trace, what it blocks.

    ``field`` says how it is filled, ``raw`` what stands in it now, by the name of each input.
    """

    path: str
    label: str
    value: str
    origin: str
    trace: str
    blocks: str
    field: SheetField
    raw: dict[str, Any]

    @property
    def known(self) -> bool:
        """Whether there is a value."""
        return bool(self.value)


def measures(sheet: CaseSheet) -> list[Measure]:
    """Every measure of ``sheet``, the unknown ones first and among them those that block something."""
    paths = [path for path, _ in sheet.measurements() if _applies(sheet, path)]
    rows = [measure_at(sheet, path) for path in (*paths, *GRADES)]
    order = list(WORDS)

    def place(row: Measure) -> tuple[bool, bool, int]:
        return row.known, row.blocks == NOTHING, order.index(row.path) if row.path in order else len(order)

    return sorted(rows, key=place)


def theatre(sheet: CaseSheet) -> list[Measure]:
    """What only theatre can tell, in the order of its weight."""
    return [measure_at(sheet, path) for path in THEATRE]


def findings(sheet: CaseSheet) -> list[Measure]:
    """Findings by eye and hand, of the patient and of the plan, the unknown ones first."""
    return sorted((measure_at(sheet, path) for path in FINDINGS if path in sheet_fields()), key=lambda row: row.known)


def unknown(sheet: CaseSheet) -> int:
    """How many measures are unknown."""
    return sum(not row.known for row in measures(sheet))


def _applies(sheet: CaseSheet, path: str) -> bool:
    """Whether a measure is listed; those of the shoulder that only narrow it are, once they are known."""
    if path.startswith("shoulder."):
        return path.removeprefix("shoulder.").removesuffix("_mm") in dict(sheet.shoulder.measured())
    return not (path == "tear.partial_depth_mm" and sheet.tear.full_thickness)


def measure_at(sheet: CaseSheet, path: str) -> Measure:
    """What stands at one path, in words, with its form."""
    part, name = path.split(".")
    found = getattr(getattr(sheet, part), name)
    blocks = (WORDS.get(path) or FINDINGS.get(path) or ("", NOTHING))[1]
    one = sheet_fields()[path]
    if isinstance(found, Measurement):
        unit = {"": "", "°": "°"}.get(one.unit, f" {one.unit}")
        middle, sd = by_spread(found.value, found.sd)
        spread = f", SD {sd}{unit}" if sd else ", SD not given"
        raw = {"value": f"{found.value:g}", "sd": f"{found.sd:g}", "origin": found.origin, "trace": found.trace}
        value = f"{middle}{unit}{spread}"
        return Measure(path, label_of(path), value, ORIGINS[found.origin], found.trace, blocks, one, raw)
    value = _plain(found)
    empty = {name: "" for name in ("value", "sd", "origin", "trace")}
    return Measure(
        path,
        label_of(path),
        value,
        "as entered" if value else "",
        "",
        blocks,
        one,
        empty if found is None else {"value": found},
    )


def _plain(found: Any) -> str:
    if found is None or found == "":
        return ""
    if isinstance(found, bool):
        return "yes" if found else "no"
    return ", ".join(found) if isinstance(found, tuple) else str(found)
