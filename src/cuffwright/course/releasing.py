"""The surgeon's release: both sheets are made at that moment and kept, so that what was seen is what is printed."""

from cuffwright.case.care import ReleasedSheets
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import FactBook
from cuffwright.case.rehab import RehabPlan
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.rehab_sheets import patient_sheet, therapist_sheet


def released_sheets(sheet: CaseSheet, plan: RehabPlan, book: FactBook, *, call: str, of: str) -> ReleasedSheets:
    """Both sheets of a released plan; ``call`` is whom the patient calls, ``of`` the digest of what they rest on.

    Raises
    ------
    CaseError
        When the plan is void or not released, or nobody is named to call.
    """
    therapist = therapist_sheet(sheet, plan, book)
    patient = patient_sheet(sheet, plan, book, call=call)
    if plan.release is None:
        raise CaseError("no sheet is printed before the surgeon releases it; release the plan")
    return ReleasedSheets(plan.release, of, therapist, patient)


def still_released(sheets: ReleasedSheets | None, of: str) -> ReleasedSheets:
    """The sheets, where they were released and what they rest on has not changed since.

    Raises
    ------
    CaseError
        When nothing was released, or the case, the repair, the protocol or the word on it changed since.
    """
    if sheets is None:
        raise CaseError("no sheet is printed before the surgeon releases it; release it on Follow-up")
    if sheets.of != of:
        raise CaseError(
            f"the release of {sheets.release.day} has lapsed: the case, the repair or the protocol changed since;"
            " look at the weeks again and release them on Follow-up"
        )
    return sheets
