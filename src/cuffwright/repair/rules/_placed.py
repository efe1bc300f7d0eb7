"""A repair in its place: what every rule looks at."""

from dataclasses import dataclass

from cuffwright.case.layout import Hole, Layout, TendonStrip
from cuffwright.case.reach import SiteReach
from cuffwright.case.sheet import CaseSheet


@dataclass(frozen=True)
class Placed:
    """A ``layout`` on the ``torn`` tendon, the case ``sheet`` behind it, and how its sites are reached, if known."""

    layout: Layout
    torn: TendonStrip
    sheet: CaseSheet
    reached: tuple[SiteReach, ...] = ()

    @property
    def strip(self) -> TendonStrip:
        """The strip this repair holds."""
        return self.layout.on(self.torn)

    @property
    def passes(self) -> tuple[Hole, ...]:
        """The limbs of stitches to bone; those of side-to-side stitches are left out."""
        names = {name for s in self.layout.stitches if s.kind != "side-to-side" for name in s.holes}
        return tuple(hole for hole in self.layout.holes if hole.name in names)
