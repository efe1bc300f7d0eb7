"""Rehabilitation of one case put together: it may delay or caution, never advance; void after an unrecorded change."""

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.rehab import Protocol, RehabPlan, Release
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.general import GENERAL
from cuffwright.rehab.healing_bound import bound
from cuffwright.rehab.planning import CRITERIA, consensus, milestones
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.returning import returning
from cuffwright.rehab.rules import say_all


def rehabilitation(
    sheet: CaseSheet,
    book: FactBook,
    *,
    hold: HoldResult | None = None,
    protocol: Protocol | None = None,
    as_planned: bool | None = None,
    release: Release | None = None,
) -> RehabPlan:
    """Work out the steps after the repair of this case.

    ``hold`` is what the repair holds, for the gap over many pulls; ``as_planned`` whether it was done so.

    Raises
    ------
    CaseError
        When the hold is another shoulder's, or a release is given without a protocol, an operation date, or the word
        that the repair was done as planned.
    """
    facts = Citing(book)
    if hold is not None and (hold.case, hold.side) != (sheet.identity.patient, sheet.identity.side):
        raise CaseError("what the repair holds is of another patient or side; compute it for this case")
    if release is not None:
        _check_release(sheet, protocol, as_planned)
    said = say_all(Repaired(sheet, hold, protocol), facts)
    void = "the repair was not done as planned" if as_planned is False else ""
    steps = () if void else milestones(protocol, said.delays, sheet.identity.operation_date, facts)
    return RehabPlan(
        case=sheet.identity.patient,
        side=sheet.identity.side,
        operation_date=sheet.identity.operation_date,
        void=void,
        uncertainty=_uncertainty(as_planned, facts),
        protocol=protocol,
        consensus=consensus(facts),
        milestones=steps,
        cautions=said.cautions,
        missing=(*said.missing, *_missing(sheet, protocol)),
        bound=bound(facts),
        arms=_arms(hold),
        about=_about(sheet),
        criteria=CRITERIA,
        returning=returning(facts),
        release=release,
        general=GENERAL,
        facts=tuple(facts.used),
        unverified=tuple(key for key, row in facts.used.items() if not row.verified),
        version=__version__,
        edition=book.edition,
    )


def _check_release(sheet: CaseSheet, protocol: Protocol | None, as_planned: bool | None) -> None:
    if protocol is None:
        raise CaseError("a release needs the surgeon's own protocol; give one with its version")
    if sheet.identity.operation_date is None:
        raise CaseError("a release needs the day of the operation; set identity.operation_date")
    if as_planned is not True:
        raise CaseError("a release needs the word that the repair was done as planned; without it the plan is void")


def _uncertainty(as_planned: bool | None, facts: Citing) -> tuple[str, ...]:
    weeks, mean = facts.number("retear.weeks.sure"), facts.number("retear.weeks.mean")
    found = [
        "How fast a repaired human tendon gains strength is not known; early weeks may be weaker than the first day.",
        f"Retears came at week {mean:g} on average, nearly all before week {weeks:g}; nothing here says healed.",
        "The model may delay or caution; it never begins a step before the surgeon's protocol.",
    ]
    if as_planned is None:
        found.append("Whether the repair was done as planned is not known: this holds only if it was.")
    return tuple(found)


def _missing(sheet: CaseSheet, protocol: Protocol | None) -> tuple[str, ...]:
    found = []
    if protocol is None:
        found.append("the surgeon's own weeks: no protocol was given, the consensus stands alone")
    if sheet.identity.operation_date is None:
        found.append("dates not computed, needs identity.operation_date")
    return tuple(found)


def _arms(hold: HoldResult | None) -> tuple[str, ...]:
    if hold is None or hold.body is None:
        return ()
    return tuple(
        f"arm {one.abduction_degrees:g} degrees away, turned {one.rotation_degrees:g} degrees: {one.tension.middle:g} N"
        f" at rest ({one.tension.low:g} to {one.tension.high:g})"
        for one in hold.body.arms
    )


def _about(sheet: CaseSheet) -> tuple[tuple[str, str], ...]:
    def told(value: object) -> str:
        return "not known" if value is None else "yes" if value is True else "no" if value is False else str(value)

    biceps = sheet.biceps
    return (
        ("tendons", ", ".join(sheet.tear.tendons)),
        ("width", f"{sheet.tear.width_mm.value:g} mm"),
        ("pattern planned", told(sheet.plan.pattern)),
        ("subscapularis torn", told(sheet.subscapularis.torn)),
        ("biceps torn share", told(None if biceps.torn_share is None else f"{biceps.torn_share.value:g}")),
        ("biceps unstable", told(biceps.unstable)),
        ("tissue", told(sheet.tear.tissue)),
        ("bone", told(sheet.bone.quality)),
    )
