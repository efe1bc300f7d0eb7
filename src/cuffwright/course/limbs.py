"""The limbs of a case: from a laid repair and what portals reach to a field, and to the shortest order of work."""

from dataclasses import dataclass, replace

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.layout import Layout
from cuffwright.case.limb_answer import LimbAnswer
from cuffwright.case.limbs import LimbField, LimbState
from cuffwright.case.reach import USUAL, Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.hold import pattern_of
from cuffwright.course.limb_compared import beside
from cuffwright.course.limb_opened import eyelets_of, looks_of
from cuffwright.course.limb_portals import FEWEST, SETS, Parts, portals_of
from cuffwright.course.limb_reach import LimbReach, limb_reach
from cuffwright.course.limb_rules import limb_rules
from cuffwright.course.limb_sutures import carriers_of, seats_of, sutures_of
from cuffwright.course.prepared import Prepared, lay, prepare
from cuffwright.limbs.counts import Minutes
from cuffwright.limbs.judge import opening
from cuffwright.limbs.planning import NO_LOG, make_plan


@dataclass(frozen=True)
class LimbsLaid:
    """The limbs of a laid repair before the first anchor: field, state, set of portals, arm positions, rows read."""

    field: LimbField
    state: LimbState
    portal_set: str
    arms: tuple[tuple[str, str], ...]
    facts: tuple[str, ...]

    def arm(self, site: str) -> str:
        """The arm position for a site in words; ``""`` where none is known."""
        return dict(self.arms).get(site, "")


def lay_limbs(prepared: Prepared, layout: Layout, approach: Approach = USUAL, portal_set: str = FEWEST) -> LimbsLaid:
    """The field of a laid repair.

    Raises
    ------
    CaseError
        When there is no such set of portals, or a site is reached from none of them, by its name.
    EvidenceError
        When an implant has no size, or a row is missing.
    """
    facts, plan = Citing(prepared.book), prepared.sheet.plan
    reach = limb_reach(prepared, layout, approach)
    carriers = carriers_of(layout, eyelets_of(prepared.sheet))
    loose = [carrier.at for carrier in carriers if carrier.kind == "free suture"]
    name, parts = _parts(reach, portal_set, loose, facts)
    hitches = plan.half_hitches or round(facts.number("limbs.setting.hitches"))
    field = LimbField(
        portals=parts.portals,
        carriers=tuple(replace(one, through=parts.through.get(one.name, ())) for one in carriers),
        sutures=sutures_of(layout, looks_of(prepared.sheet)),
        seats=seats_of(layout, round(facts.number("limbs.setting.load"))),
        rules=limb_rules(facts),
        scope=parts.scope,
        passed_park=parts.passed_park,
        tied_park=parts.tied_park,
        pierce_view=parts.pierce_view,
        grasp=round(facts.number("limbs.setting.grasp")),
        hitches=hitches,
        eyelet_line=facts.number("limbs.setting.eyelets"),
    )
    if loose and any(portal.pierces for portal in field.portals):
        # closing stitches come first, and those at the back would be pierced before the front is passed
        field = field.with_rule("pass-order", "soft")
    return LimbsLaid(field, opening(field), name, _arms(reach, parts.worked_from), tuple(sorted(facts.used)))


def _parts(reach: LimbReach, asked: str, loose: list[float], facts: Citing) -> tuple[str, Parts]:
    """The portals of the set asked for; of the fewest portals that reach everything."""
    if asked != FEWEST and asked not in SETS:
        raise CaseError(f"there is no set of portals {asked}; choose {FEWEST} or one of: {'; '.join(SETS)}")
    names = list(SETS) if asked == FEWEST else [asked]
    for name in names[:-1]:
        try:
            return name, portals_of(reach, SETS[name], loose, facts)
        except CaseError:
            continue
    return names[-1], portals_of(reach, SETS[names[-1]], loose, facts)


def limbs_of(
    sheet: CaseSheet,
    book: FactBook,
    *,
    pattern: str | None = None,
    portal_set: str = FEWEST,
    minutes: Minutes = NO_LOG,
) -> LimbAnswer:
    """Plan the limbs of a case; the same case gives the same plan.

    Where there is no order of work the answer carries the reason instead of a plan.

    Raises
    ------
    CaseError, OutsideValidity
        When the case cannot be prepared, its pattern not laid on this tear, or a site is reached from no portal.
    EvidenceError
        When access cannot be computed for an implant, or a row is missing.
    """
    prepared = prepare(sheet, book, plain=True)
    layout = lay(prepared, pattern_of(sheet, pattern))
    laid = lay_limbs(prepared, layout, portal_set=portal_set)
    plan, refused = None, ""
    try:
        plan = make_plan(laid.field, laid.state, arm=laid.arm, minutes=minutes)
    except CaseError as wrong:
        refused = str(wrong)
    compared, unlike = beside(laid.field, laid.state, plan) if plan else (None, "")
    return LimbAnswer(
        case=sheet.identity.patient,
        side=sheet.identity.side,
        pattern=layout.pattern,
        portal_set=laid.portal_set,
        field=laid.field,
        state=laid.state,
        arms=laid.arms,
        plan=plan,
        refused=refused,
        compared=compared,
        not_computed=(*_lacking(laid.field, minutes), *([unlike] if unlike else [])),
        facts=laid.facts,
        version=__version__,
        edition=book.edition,
    )


def _arms(reach: LimbReach, worked_from: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """The arm position in which each site is reached from the portal that serves it."""
    return tuple(
        (site, reach.portal(name).poses[site].words)
        for site, name in sorted(worked_from.items())
        if site in reach.portal(name).poses
    )


def _lacking(field: LimbField, minutes: Minutes) -> tuple[str, ...]:
    """What is not computed for want of an input, in sentences."""
    found = []
    if any(suture.look is None for suture in field.sutures):
        found.append("thread looks not computed, needs the implants as opened")
    if any(carrier.kind == "anchor" and carrier.eyelet is None for carrier in field.carriers):
        found.append("room in the eyelets not computed, needs how many sutures each admits")
    if minutes.needs:
        found.append(f"minutes not computed, needs {minutes.needs}")
    return tuple(found)
