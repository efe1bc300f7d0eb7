"""What the page asks of the course: five plain functions, the same in the page and in the worker process."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from cuffwright.case.fact import FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Anchor, Layout
from cuffwright.case.sheet import CaseSheet


class Settle(Protocol):
    """The full answer with scatter, in chunks that can be watched and stopped."""

    def __call__(
        self,
        prepared: Any,
        layout: Layout,
        *,
        draws: int,
        seed: int,
        progress: Callable[[int, int], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> HoldResult:
        """Settle ``layout``; stops early when ``cancelled`` says so."""
        ...


@dataclass(frozen=True)
class Holding:
    """The course behind the page. Module-level functions only, since they travel to the worker by name."""

    prepare: Callable[[CaseSheet, FactBook], Any]
    lay: Callable[[Any, str], Layout]
    glance: Callable[[Any, Layout, HoldResult | None], HoldResult]
    settle: Settle
    explain: Callable[[Any, HoldResult, str], Any]
    seat: Callable[[Any, Anchor, float, float], Anchor]
    chart: Callable[[Any], dict[str, Any]]
    patterns: Callable[[], dict[str, str]]
