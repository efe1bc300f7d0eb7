"""What stands on a board between two changes, and one step from one such stand to the next."""

from dataclasses import dataclass, field

from cuffwright.case.care import Care, ReleasedSheets
from cuffwright.case.image_reading import ImageReading
from cuffwright.case.layout import Layout
from cuffwright.case.reach import Approach, PortalPlace, Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.shelf import Version


@dataclass(frozen=True)
class Stand:
    """What stands between two changes: the layout (None before a pattern is chosen) and whether it is archived.

    ``arm`` is the arm position set (None before one is), ``portals`` those the surgeon has moved. ``sheet`` is the case
    with what was written into it or read off images since it was opened (None before anything was), ``laid_on`` the
    one the repair was laid on, ``readings`` are the readings accepted, ``shelf`` the versions kept. ``care`` is what
    was recorded after the operation, ``released`` the sheets last released (None before any were).
    """

    layout: Layout | None = None
    archived: bool = False
    arm: Pose | None = None
    portals: tuple[PortalPlace, ...] = ()
    sheet: CaseSheet | None = None
    laid_on: CaseSheet | None = None
    readings: tuple[ImageReading, ...] = ()
    shelf: tuple[Version, ...] = ()
    care: Care = field(default_factory=Care)
    released: ReleasedSheets | None = None

    @property
    def approach(self) -> Approach:
        """Arm and portals together, as reach is asked about."""
        return Approach(self.arm, self.portals)


@dataclass(frozen=True)
class Step:
    """One change in words, with what stood before and after it."""

    words: str
    before: Stand
    after: Stand
