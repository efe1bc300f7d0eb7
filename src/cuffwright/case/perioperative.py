"""Pressures around an operation in the beach chair: two needs that conflict, shown side by side."""

from dataclasses import dataclass

from cuffwright.case.quantity import Interval


@dataclass(frozen=True)
class Perioperative:
    """View against pressure, and pressure at the brain; None where an input is missing, then named in ``missing``.

    ``space`` (mmHg) is the pressure in the space at which the view was good on average at this systolic pressure: a
    published average, no set-point. ``brain`` (mmHg) is the mean pressure at the brain by the published corrections.
    """

    space: float | None
    brain: Interval | None
    beside: str
    order: tuple[str, ...]
    cautions: tuple[str, ...]
    policy: tuple[str, ...]
    missing: tuple[str, ...]
    decides: str
    general: tuple[str, ...]
    facts: tuple[str, ...]
    version: str
    edition: str
