"""A measure or finding written into the sheet after the case was opened."""

from dataclasses import dataclass

from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet


@dataclass(frozen=True)
class ChangeSheet:
    """Let this sheet stand from now on; ``words`` say what is new in it, ``layout`` the repair that goes with it."""

    sheet: CaseSheet
    layout: Layout | None
    words: str


@dataclass(frozen=True)
class SheetChanged:
    """The sheet came to stand so, with this repair on it."""

    sheet: CaseSheet
    layout: Layout | None
    words: str
