"""After the first pull: the gap over many pulls, contact once the sutures have lost tension, the junction."""

from cuffwright.case.body import CyclicGap, JunctionShare, LaterContact
from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Interval
from cuffwright.course.contact import contact_of, press
from cuffwright.course.doubt import Doubt, doubted, doubted_contact
from cuffwright.course.prepared import Prepared, Scenario
from cuffwright.course.pulling import thread
from cuffwright.course.reducing import SHARE
from cuffwright.course.rounding import interval, part, rounded
from cuffwright.mechanics.cyclic import COUNTS, CyclicLaw, cycle
from cuffwright.mechanics.junction import junction_risk
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.relaxation import Relaxation
from cuffwright.mechanics.weave import Woven

MINUTE = 60.0
"""Numerical choice: seconds of a minute."""


def cyclic_gap(woven: Woven, facts: Citing) -> CyclicGap:
    """The gap after each of many pulls to the stated load, without scatter; the error of the model is its spread."""
    load, most = facts.number("rule.load.stated"), int(facts.number("cyclic.stated"))
    counts = tuple(n for n in COUNTS if n <= most)
    found = cycle(woven, CyclicLaw.from_facts(facts), load, counts)
    last = found.gaps[-1]
    error = facts.number("model.error.gap")
    return CyclicGap(
        load=load,
        counts=counts,
        gaps=tuple(None if gap is None else rounded(gap, "mm") for gap in found.gaps),
        final=None if last is None else interval(doubted(last, "mm", error, SHARE)),
        lost=found.lost,
    )


def later_contact(prepared: Prepared, layout: Layout, scenario: Scenario, facts: Citing) -> LaterContact | None:
    """Contact some time after fixation; None where the contact model must not answer."""
    minutes, law = facts.number("relaxation.stated"), Relaxation.from_facts(facts)
    seconds = minutes * MINUTE
    ramp = pull(thread(prepared, layout, law.after(scenario.parameters, seconds)), plain=prepared.plain)
    try:
        found = press(prepared, layout, ramp.tied)
    except OutsideValidity:
        return None
    contact = doubted_contact(contact_of(found), Doubt.from_facts(facts), SHARE)
    return LaterContact(minutes, part(law.left(seconds)), contact)


def junction_share(prepared: Prepared, layout: Layout, facts: Citing) -> JunctionShare | None:
    """How often repairs with passes so near fail at the musculotendinous junction; None where its place is unknown."""
    remaining = prepared.sheet.tear.remaining_tendon_mm
    if remaining is None or remaining.value == 0:
        return None
    found = junction_risk(layout, prepared.strip, remaining.value, facts)
    if found is None:
        return None
    share = interval(Interval(found.share, found.low, found.high, "-", SHARE))
    return JunctionShare(found.hole, rounded(found.distance, "mm"), share)
