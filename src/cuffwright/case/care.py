"""Care after one operation: what was recorded at visits, the surgeon's protocol, and what the surgeon released."""

from dataclasses import dataclass

from cuffwright.case.followup import Complication, Visit
from cuffwright.case.rehab import Protocol, Release
from cuffwright.case.sheets import PrintedSheet


@dataclass(frozen=True)
class ReleasedSheets:
    """Both sheets as the surgeon saw and released them; ``of`` is a digest of all they were made from."""

    release: Release
    of: str
    therapist: PrintedSheet
    patient: PrintedSheet


@dataclass(frozen=True)
class Care:
    """What is known after an operation; ``as_planned`` says whether it was done so, None where nobody said."""

    visits: tuple[Visit, ...] = ()
    complications: tuple[Complication, ...] = ()
    as_planned: bool | None = None
    protocol: Protocol | None = None
