"""Thread looks and eyelets from the implants a case says are opened."""

from cuffwright.case.limbs import Look
from cuffwright.case.sheet import CaseSheet


def looks_of(sheet: CaseSheet) -> dict[str, Look]:
    """Looks by the suture's name, such as ``1a``; sutures of packs that are not opened are left out."""
    return {
        f"{one.anchor}{thread.letter}": Look(thread.colour, thread.pattern)
        for one in sheet.implants.opened
        for thread in one.threads
    }


def eyelets_of(sheet: CaseSheet) -> dict[str, int]:
    """How many sutures the eyelet of each anchor admits, by the anchor's name, where the pack says it."""
    return {one.anchor: one.eyelet for one in sheet.implants.opened if one.eyelet is not None}
