"""The fields of a sheet that can be filled on the page: what kind each is, in which unit, between which words."""

from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from functools import cache
from types import NoneType
from typing import Any, Literal, get_args, get_origin, get_type_hints

from cuffwright.case.measurement import Measurement, Origin
from cuffwright.case.sheet import CaseSheet
from cuffwright.web.refusal import Refusal

Kind = Literal["measure", "choice", "yes-no", "whole", "number", "text", "date", "several"]

UNITS = {"_mm": "mm", "_degrees": "°", "_newtons": "N"}
"""How a field's name says its unit."""

FIXED = frozenset({"identity.patient", "identity.side", "identity.invented", "plan.pattern"})
"""What a case is opened with and keeps; another shoulder is another case, and a pattern is chosen on the map."""

ORIGINS: tuple[str, ...] = get_args(Origin)
"""Where a value may come from."""


@dataclass(frozen=True)
class SheetField:
    """One field: its path, its kind, its unit ("" where it has none) and the words it may hold."""

    path: str
    kind: Kind
    unit: str
    words: tuple[str, ...] = ()


@cache
def sheet_fields() -> dict[str, SheetField]:
    """Every field that can be filled, by its path such as ``tear.width_mm``."""
    found = {}
    for part, holder in get_type_hints(CaseSheet).items():
        if not is_dataclass(holder) or not isinstance(holder, type):
            continue
        hints = get_type_hints(holder)
        for entry in fields(holder):
            path = f"{part}.{entry.name}"
            one = None if path in FIXED else _field(path, hints[entry.name])
            if one:
                found[path] = one
    return found


def field_at(path: str) -> SheetField:
    """The field at ``path``; raises Refusal 422 when there is none that can be filled."""
    one = sheet_fields().get(path)
    if one is None:
        raise Refusal(422, f"{path[:60]!r} is no field of the case that can be filled here; see the list on Tear")
    return one


def _field(path: str, hint: Any) -> SheetField | None:
    kinds = [kind for kind in get_args(hint) if kind is not NoneType] if _optional(hint) else [hint]
    unit = next((unit for end, unit in UNITS.items() if path.endswith(end)), "")
    plain: dict[Any, Kind] = {Measurement: "measure", bool: "yes-no", int: "whole", float: "number", date: "date"}
    only = kinds[0]
    if len(kinds) > 1 or (only is str and path.endswith("trace")):
        return None
    if only in plain:
        return SheetField(path, plain[only], unit)
    if only is str:
        return SheetField(path, "text", unit)
    if get_origin(only) is Literal:
        return SheetField(path, "choice", unit, tuple(str(word) for word in get_args(only)))
    if get_origin(only) is tuple and get_origin(get_args(only)[0]) is Literal:
        return SheetField(path, "several", unit, get_args(get_args(only)[0]))
    return None


def _optional(hint: Any) -> bool:
    return NoneType in get_args(hint)


def from_form(one: SheetField, form: dict[str, list[str]]) -> Any:
    """What a plain form says of a field, as a case file would hold it; None where it is left unknown."""
    if one.kind == "several":
        return form.get("value", [])
    text = form.get("value", [""])[0].strip()
    if not text:
        return None
    if one.kind == "measure":
        said = {name: form.get(name, [""])[0].strip() for name in ("sd", "origin", "trace")}
        spread = _number(one, said["sd"]) if said["sd"] else 0.0
        return {
            "value": _number(one, text),
            "sd": spread,
            "origin": said["origin"] or "typed",
            "trace": said["trace"] or "typed on the page",
        }
    if one.kind == "yes-no":
        return {"yes": True, "no": False}.get(text, text)
    if one.kind == "number":
        return _number(one, text)
    if one.kind == "whole" or (one.kind == "choice" and all(word.isdigit() for word in one.words)):
        number = _number(one, text)
        return int(number) if number.is_integer() else number
    return text


def _number(one: SheetField, text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise Refusal(422, f"{one.path}: {text[:30]!r} is no number; write it with a point, such as 14.5") from None
