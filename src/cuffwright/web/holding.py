"""What the page asks of the course: plain functions, the same in the page and in the worker process."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from cuffwright.case.fact import FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Anchor, Layout
from cuffwright.case.reach import USUAL, Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.compiled import is_warm, mark_warm
from cuffwright.course.editing import Edit, edited
from cuffwright.course.hold import explain, glance, lay, prepare, settle, warm
from cuffwright.course.prepared import Prepared, seat
from cuffwright.course.shelf import EditLayout
from cuffwright.repair.patterns import patterns
from cuffwright.web.chart_view import chart_view


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
        approach: Approach = USUAL,
    ) -> HoldResult:
        """Settle ``layout``; stops early when ``cancelled`` says so."""
        ...


@dataclass(frozen=True)
class Holding:
    """The course behind the page. Module-level functions only, since they travel to the worker by name."""

    prepare: Callable[[CaseSheet, FactBook], Any]
    lay: Callable[[Any, str], Layout]
    glance: Callable[[Any, Layout, HoldResult | None, Approach], HoldResult]
    settle: Settle
    explain: Callable[[Any, HoldResult, str], Any]
    seat: Callable[[Any, Anchor, float, float], Anchor]
    chart: Callable[[Any], dict[str, Any]]
    patterns: Callable[[], dict[str, str]]
    warm: Callable[[FactBook], None]
    edit: Callable[[Any, Layout, Edit], EditLayout] = edited


def course_holding() -> Holding:
    """The real course."""
    return Holding(
        prepare=_prepare,
        lay=lay,
        glance=glance,
        settle=settle,
        explain=explain,
        seat=seat,
        chart=chart_view,
        patterns=_titles,
        warm=_warm,
    )


def _prepare(sheet: CaseSheet, book: FactBook) -> Prepared:
    """Ready with compiled kernels once they are warm; until then their plain twins answer, slower and the same."""
    return prepare(sheet, book, plain=not is_warm())


def _titles() -> dict[str, str]:
    return {name: pattern.title for name, pattern in patterns().items()}


def _warm(book: FactBook) -> None:
    warm(book)
    mark_warm()
