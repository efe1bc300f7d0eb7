"""The repair in the body and over time: what the laboratory's single pull leaves out, put together."""

from dataclasses import replace

from cuffwright.case.body import BodyHold
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.course.arms import arm_loads, carried_share
from cuffwright.course.body_words import body_sentences
from cuffwright.course.lasting import cyclic_gap, junction_share, later_contact
from cuffwright.course.prepared import Prepared
from cuffwright.course.pulling import Pulled
from cuffwright.course.reducing import pull_of, reduction, reliefs


def in_the_body(prepared: Prepared, layout: Layout, shown: Pulled, facts: Citing, seed: int) -> BodyHold:
    """Reach, arm positions, cycles, lost tension and the junction for the scenario that pictures show."""
    scenario = shown.scenario
    missing = []
    pulled = pull_of(prepared, layout, facts)
    junction = junction_share(prepared, layout, facts)
    if isinstance(pulled, str):
        missing.append(f"whether the edge reaches bone, and what it bears at rest, not computed, needs {pulled}")
    if junction is None:
        missing.append("failure at the musculotendinous junction not computed, needs tear.remaining_tendon_mm")
    if prepared.plain:
        missing.append("gap over many pulls not computed, needs the compiled kernels: run `cuffwright warm` once")
    later = later_contact(prepared, layout, scenario, facts)
    if later is None:
        missing.append("contact after tension was lost withheld: a limb sinks too deep for the contact model")
    known = None if isinstance(pulled, str) else pulled
    body = BodyHold(
        tissue=scenario.tissue,
        bone=scenario.bone,
        reduction=reduction(known, seed) if known else None,
        reliefs=reliefs(known, facts.number("tension.reduced.far"), seed) if known else (),
        arms=arm_loads(prepared, layout, scenario, known, facts, seed) if known else (),
        carried_share=carried_share(prepared, layout, scenario, facts),
        cycles=None if prepared.plain else cyclic_gap(shown.woven, facts),
        junction=junction,
        later=later,
        missing=tuple(missing),
    )
    return replace(body, sentences=body_sentences(body, facts.number("rule.load.stated")))
