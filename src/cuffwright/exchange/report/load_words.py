"""Loads of one scenario, contact, and inputs as rows of words for page two."""

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass

from cuffwright.case.contact import Contact
from cuffwright.case.hold import HoldResult, MemberLoad, ScenarioHold
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.shoulder import Landmark
from cuffwright.exchange.report.page_words import Plain
from cuffwright.exchange.report.printed import NOT_REACHED, number, plain, spread

UNITS = {"mm": "mm", "degrees": "degrees", "share": "share", "ratio": "ratio", "index": "ratio"}


def shown_scenario(result: HoldResult) -> ScenarioHold:
    """The scenario whose loads are printed in full: nearest to fair tissue and fair bone, the first of equals."""
    return max(result.scenarios, key=lambda s: (s.tissue, s.bone).count("fair"))


def member_words(shown: ScenarioHold) -> Plain:
    """Every limb, hole and anchor of one scenario, in the result's order."""
    loaded = [m.loaded for m in shown.members if m.loaded]
    top = max([i.high for i in loaded] + [m.capacity for m in shown.members], default=1.0) or 1.0
    shares = sorted({i.share for i in loaded})
    return {
        "scenario": f"{shown.tissue} tissue, {shown.bone} bone",
        "load": number(shown.gap_load),
        "share": f"brackets hold {', '.join(number(s) for s in shares)} of the draws"
        if shares
        else f"no intervals, {NOT_REACHED}",
        "reach": top,
        "rows": [_member(m) for m in shown.members],
    }


def _member(one: MemberLoad) -> Plain:
    drawn = [one.loaded.low, one.loaded.middle, one.loaded.high] if one.loaded else []
    return {
        "name": plain(f"{one.kind} {one.name}"),
        "tied": number(one.tied),
        "loaded": spread(one.loaded) if one.loaded else "not reached",
        "drawn": drawn,
        "capacity": number(one.capacity),
        "bears": one.capacity,
        "first": number(one.first_share),
    }


def contact_words_table(result: HoldResult) -> Plain:
    """Contact as tied and under load: single numbers, and area over every threshold."""
    runs = [("as tied", result.contact)]
    runs += [("under load", result.contact_loaded)] if result.contact_loaded else []
    return {
        "columns": [name for name, _ in runs],
        "rows": [[label, *[text(c) for _, c in runs]] for label, text in _CONTACT_ROWS],
        "thresholds": [_threshold_rows(name, c) for name, c in runs],
        "loaded_missing": ""
        if result.contact_loaded
        else "Contact under load: not computed, needs a repair that reaches the load.",
    }


def _area_ends(contact: Contact) -> str:
    ends = contact.area_interval
    return f"{number(ends.low)} to {number(ends.high)}" if ends else "not known"


_CONTACT_ROWS: tuple[tuple[str, Callable[[Contact], str]], ...] = (
    ("contact force, N", lambda c: number(c.force)),
    ("mean pressure, MPa", lambda c: number(c.mean)),
    ("peak pressure, MPa", lambda c: number(c.peak)),
    ("area share over threshold", lambda c: f"{number(c.area_share)} over {number(c.threshold)} MPa"),
    ("with the errors of model and tear width", _area_ends),
    ("of it from the measured width, SD", lambda c: number(c.area_sd)),
    ("torn footprint, mm²", lambda c: number(c.window_area)),
    ("lifted off, share", lambda c: number(c.lifted_share)),
    ("negative pressure left, share of peak", lambda c: number(c.clipped_share)),
)


def _threshold_rows(name: str, contact: Contact) -> str:
    pairs = zip(contact.thresholds, contact.area_shares, strict=True)
    return f"{name}: " + "; ".join(f"{number(a)} over {number(t)}" for t, a in pairs)


def input_words(sheet: CaseSheet, result: HoldResult) -> Plain:
    """Measured inputs with spread, origin and trace; what else was stated; what is missing."""
    return {
        "rows": [_input(path, m) for path, m in result.inputs],
        "stated": "; ".join(_stated(sheet)),
        "missing": [plain(name) for name in result.missing],
    }


def _input(path: str, one: Measurement) -> list[str]:
    unit = UNITS.get(path.rsplit("_", 1)[-1], "")
    origin = "scenario, not measured" if one.origin == "scenario" else one.origin
    return [plain(path), f"{number(one.value)} {unit}".strip(), number(one.sd), origin, plain(one.trace) or "no trace"]


def _stated(sheet: CaseSheet) -> Iterator[str]:
    """Grades and words of the sheet that are not measurements, where given."""
    for part in fields(sheet):
        held = getattr(sheet, part.name)
        if part.name in {"identity", "plan"} or not is_dataclass(held):
            continue
        for item in fields(held):
            value = getattr(held, item.name)
            if value is None or value == () or isinstance(value, Measurement):
                continue
            yield plain(f"{part.name}.{item.name} {_said(value)}")


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " + ".join(_said(v) for v in value)
    if isinstance(value, Landmark):
        return f"{value.name} (SD {number(value.sd_mm)})"
    if is_dataclass(value):
        held = [(f.name, getattr(value, f.name)) for f in fields(value)]
        return ", ".join(f"{name} {_said(one)}" for name, one in held if one is not None and one != "")
    return number(value) if isinstance(value, int | float) else str(value)
