"""Case values to plain dictionaries and back, strictly: for files, events and the interface."""

import json
from dataclasses import fields, is_dataclass
from datetime import date
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from pydantic import ConfigDict, TypeAdapter, ValidationError

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet

Made = TypeVar("Made")

FORMAT = 1
"""The newest case format this release reads and the one it writes."""


def sheet_to_plain(sheet: CaseSheet) -> dict[str, Any]:
    """The sheet as JSON-ready values, unknown fields left out."""
    plain = _pruned(_adapter(CaseSheet).dump_python(sheet, mode="json"))
    return {"format": sheet.format, **{k: v for k, v in plain.items() if k != "format" and v != {}}}


def sheet_from_plain(plain: dict[str, Any]) -> CaseSheet:
    """Build a sheet from plain values.

    Raises
    ------
    CaseError
        One sentence naming the first wrong field, or a format newer than this release.
    """
    found = plain.get("format")
    if not isinstance(found, int) or isinstance(found, bool) or found < 1:
        raise CaseError(f"the case says format = {found!r}; write format = {FORMAT} in its first line")
    if found > FORMAT:
        raise CaseError(f"the case has format {found}, newer than {FORMAT}, the newest this release reads; update it")
    sheet: CaseSheet = _read(CaseSheet, plain, "the case")
    return sheet


def layout_to_plain(layout: Layout) -> dict[str, Any]:
    """A layout as JSON-ready values."""
    plain: dict[str, Any] = _adapter(Layout).dump_python(layout, mode="json")
    return plain


def layout_from_plain(plain: dict[str, Any]) -> Layout:
    """Build a layout from plain values; raises CaseError naming the first wrong field."""
    layout: Layout = _read(Layout, plain, "the layout")
    return layout


def measurement_from_plain(plain: dict[str, Any]) -> Measurement:
    """Build a measurement from plain values; raises CaseError naming the first wrong field."""
    measurement: Measurement = _read(Measurement, plain, "the measurement")
    return measurement


def read_plain(kind: type[Made], plain: dict[str, Any], what: str) -> Made:
    """Build a case value of any kind from plain values; raises CaseError naming the first wrong field."""
    made: Made = _read(kind, plain, what)
    return made


def to_plain(value: Any) -> dict[str, Any]:
    """A case value of any kind as JSON-ready values, whole: what is unknown stands as null, so that it reads back."""
    kind: type = type(value)
    plain: dict[str, Any] = _adapter(kind).dump_python(value, mode="json")
    return plain


def case_schema() -> dict[str, Any]:
    """The JSON Schema of the case file, as published under docs/."""
    schema = _adapter(CaseSheet).json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Cuffwright case", **schema}


@cache
def _adapter(kind: type) -> TypeAdapter[Any]:
    for part in _parts(kind):
        setattr(part, "__pydantic_config__", ConfigDict(extra="forbid", strict=True, allow_inf_nan=False))  # noqa: B010
    return TypeAdapter(kind)


def _parts(kind: Any) -> set[type]:
    if is_dataclass(kind) and isinstance(kind, type):
        hints = get_type_hints(kind)
        return {kind}.union(*(_parts(hints[f.name]) for f in fields(kind)))
    if get_origin(kind) in (Union, UnionType, tuple):
        return set().union(*(_parts(a) for a in get_args(kind)))
    return set()


def _read(kind: type, plain: Any, what: str) -> Any:
    try:
        return _adapter(kind).validate_json(json.dumps(plain, default=_iso))
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        path = ".".join(str(p) for p in first["loc"]) or what
        text = first["msg"].removeprefix("Value error, ")
        more = f" ({wrong.error_count() - 1} more to correct)" if wrong.error_count() > 1 else ""
        raise CaseError(f"{what}, {path}: {text}{more}" if path != what else f"{what}: {text}{more}") from None
    except (TypeError, RecursionError):
        raise CaseError(f"{what} holds something that is no text, number, date, list or table; correct it") from None


def _iso(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError


def _pruned(value: Any) -> Any:
    if isinstance(value, dict):
        kept = {k: _pruned(v) for k, v in value.items()}
        return {k: v for k, v in kept.items() if v is not None and v != {} and v != []}
    return [_pruned(v) for v in value] if isinstance(value, list) else value
