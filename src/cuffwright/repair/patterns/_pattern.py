"""The shape of a pattern."""

from collections.abc import Callable
from dataclasses import dataclass

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.repair.fitting import Suits, full_thickness, misplaced
from cuffwright.repair.laying.bed import Bed

Lay = Callable[[TendonStrip, Bed, Citing], Layout]


@dataclass(frozen=True)
class Pattern:
    """A repair pattern: its name, the title a surgeon reads, its place in lists, how it is laid, what it is for."""

    name: str
    title: str
    order: tuple[int, ...]
    lay: Lay
    suits: Suits = full_thickness

    def fits(self, strip: TendonStrip, bed: Bed, facts: Citing) -> str | None:
        """Why this pattern cannot be laid on this tear, as the end of a sentence; None when it can."""
        return self.suits(strip, facts) or misplaced(self.lay(strip, bed, facts), bed, facts)
