"""What is known of a shoulder, by path; None where it is not. Nothing is filled in."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet

Value = float | str | bool | None


@dataclass(frozen=True)
class Known:
    """Values by path (mm, years, grades, words, yes or no) and the SD of those that were measured."""

    values: Mapping[str, Value]
    spread: Mapping[str, float]

    def missing(self, paths: tuple[str, ...]) -> tuple[str, ...]:
        """Those of ``paths`` that are not known."""
        return tuple(path for path in paths if self.values.get(path) is None)

    def yes(self, path: str) -> bool:
        """Whether a yes-or-no is known to be yes."""
        return self.values.get(path) is True

    def number(self, path: str) -> float | None:
        """A known number, or None."""
        found = self.values.get(path)
        return float(found) if isinstance(found, int | float) and not isinstance(found, bool) else None


def known(sheet: CaseSheet) -> Known:
    """Flatten a case sheet: ``tear.width_mm`` and so on, with ``tear.tendons`` as their number."""
    values: dict[str, Value] = {}
    spread: dict[str, float] = {}
    for part in fields(sheet):
        held: Any = getattr(sheet, part.name)
        if part.name == "identity" or not is_dataclass(held):
            continue
        for item in fields(held):
            path, found = f"{part.name}.{item.name}", getattr(held, item.name)
            if isinstance(found, Measurement):
                values[path], spread[path] = found.value, found.sd
            elif isinstance(found, tuple):
                values[path] = float(len(found))
            else:
                values[path] = found
    return Known(values, spread)
