"""What a rule of rehabilitation looks at: the case, what the repair holds, the surgeon's weeks."""

from dataclasses import dataclass

from cuffwright.case.hold import HoldResult
from cuffwright.case.rehab import Protocol
from cuffwright.case.sheet import CaseSheet


@dataclass(frozen=True)
class Repaired:
    """One repaired shoulder; ``hold`` and ``protocol`` are None where there are none."""

    sheet: CaseSheet
    hold: HoldResult | None
    protocol: Protocol | None

    @property
    def width_mm(self) -> float:
        """Width of the tear front to back, mm."""
        return self.sheet.tear.width_mm.value
