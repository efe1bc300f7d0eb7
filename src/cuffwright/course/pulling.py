"""One scenario pulled: threaded once, ramped without scatter, drawn many times."""

from dataclasses import dataclass, replace

from cuffwright.case.hold import MemberKind, ScenarioHold
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Caution, Interval
from cuffwright.course.contact import wall_degrees
from cuffwright.course.loads import member_loads
from cuffwright.course.prepared import Prepared, Scenario
from cuffwright.course.rounding import bounded, interval, newtons, part, rounded
from cuffwright.course.verdict import member_in_words
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.pull import Ramp, pull
from cuffwright.mechanics.scatter import Draws, Scattered, member_intervals, summarise
from cuffwright.mechanics.surroundings import ALONE, Surroundings
from cuffwright.mechanics.weave import Woven, weave

CURVE_POINTS = 41
"""Numerical choice: points of the printed curve of gap against load."""


@dataclass(frozen=True, eq=False)
class Pulled:
    """A scenario with its threaded repair, its ramp without scatter, and the repair with the contested factor."""

    scenario: Scenario
    woven: Woven
    ramp: Ramp
    contested: Woven | None

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What limits the ramp."""
        return self.ramp.cautions


def thread(prepared: Prepared, layout: Layout, parameters: Parameters) -> Woven:
    """Thread the layout through this tendon over this bone's own wall.

    Raises
    ------
    OutsideValidity
        When the layout breaks a limit of the model.
    CaseError
        When a stitch cannot be threaded.
    """
    missing = missing_tissue(prepared, layout)
    around = Surroundings(missing=missing) if missing else ALONE
    return weave(layout, prepared.strip, on_bone(parameters, wall_degrees(prepared, layout)), around)


def on_bone(parameters: Parameters, fall_degrees: float | None) -> Parameters:
    """The numbers with the fall of this bone's own wall; as they are where no limb runs over it."""
    return parameters if fall_degrees is None else replace(parameters, wall_degrees=fall_degrees)


def missing_tissue(prepared: Prepared, layout: Layout) -> tuple[tuple[float, float], ...]:
    """The drawn outline of missing tendon, u (mm) from the front of the strip that the layout takes."""
    front = layout.on(prepared.strip).front
    return tuple((u - front, v) for u, v in prepared.sheet.tear.missing_tissue)


def ramp_scenario(prepared: Prepared, layout: Layout, scenario: Scenario, *, contested: bool = True) -> Pulled:
    """Thread and pull one scenario without scatter; a bridging one is also threaded with the contested factor."""
    woven = thread(prepared, layout, scenario.parameters)
    bridged = any(stitch.kind == "bridge" for stitch in layout.stitches)
    other = thread(prepared, layout, scenario.contested) if bridged and contested else None
    return Pulled(scenario, woven, pull(woven, plain=prepared.plain), other)


def gap_curve(ramp: Ramp) -> tuple[tuple[float, float], ...]:
    """Load (N) against gap (mm) up to the peak, thinned for drawing."""
    force, edge = ramp.curve.force, ramp.curve.edge
    peak = int(force.argmax()) + 1
    step = max(1, -(-peak // CURVE_POINTS))
    places = sorted({*range(0, peak, step), peak - 1})
    return tuple((newtons(force[i]), rounded(edge[i], "mm")) for i in places)


def settled(pulled: Pulled, draws: Draws, contested: Draws | None, stated: float) -> ScenarioHold:
    """The scenario's answer from its draws, and from those with the contested factor where limbs bridge."""
    found = summarise(draws)
    loads = member_intervals(draws)

    def loaded(kind: MemberKind, place: int) -> Interval | None:
        return bounded(loads[kind][place])

    return ScenarioHold(
        tissue=pulled.scenario.tissue,
        bone=pulled.scenario.bone,
        ultimate=interval(found.ultimate),
        ultimate_contested=None if contested is None else newtons(summarise(contested).ultimate.middle),
        ultimate_no_scatter=newtons(pulled.ramp.ultimate),
        gap=bounded(found.gap),
        gap_load=stated,
        reached_share=part(found.reached),
        stiffness=bounded(found.stiffness),
        weakest=_weakest(found),
        members=member_loads(pulled.ramp, loaded, found.first),
        failure_shares=tuple(
            (member_in_words(kind, name), part(share))
            for (kind, name), share in sorted(found.first.items(), key=lambda item: -item[1])
        ),
        gap_curve=gap_curve(pulled.ramp),
        settled=True,
    )


def estimated(pulled: Pulled, last: ScenarioHold) -> ScenarioHold:
    """The last settled answer moved by the ratio of the runs without scatter: an estimate while something moves."""
    now = newtons(pulled.ramp.ultimate)
    ratio = now / last.ultimate_no_scatter if last.ultimate_no_scatter else 0.0
    loads = {(m.kind, m.name): m for m in last.members}
    shares = pulled.ramp.shares(last.gap_load)
    carried: dict[MemberKind, dict[str, float]] = {"limb": {}, "hole": {}, "anchor": {}}
    if shares:
        carried = {"limb": shares.limbs, "hole": shares.holes, "anchor": shares.anchors}
    names = {"limb": pulled.woven.limbs, "hole": pulled.woven.holes, "anchor": pulled.woven.anchors}

    def loaded(kind: MemberKind, place: int) -> Interval | None:
        name = names[kind][place]
        before = loads.get((kind, name))
        if before is None or before.loaded is None or name not in carried[kind]:
            return None
        return _moved(before.loaded, carried[kind][name] / before.loaded.middle if before.loaded.middle else 0.0)

    first = {key: member.first_share for key, member in loads.items()}
    gap = pulled.ramp.gap(last.gap_load)
    before = last.gap.middle if last.gap else 0.0
    return replace(
        last,
        ultimate=_moved(last.ultimate, ratio),
        ultimate_contested=newtons(last.ultimate_contested * ratio) if last.ultimate_contested else None,
        ultimate_no_scatter=now,
        gap=_moved(last.gap, gap / before) if last.gap and gap and before else None,
        members=member_loads(pulled.ramp, loaded, first),
        gap_curve=gap_curve(pulled.ramp),
        settled=False,
    )


def _moved(last: Interval, ratio: float) -> Interval:
    return interval(Interval(last.middle * ratio, last.low * ratio, last.high * ratio, last.unit, last.share))


def _weakest(found: Scattered) -> str:
    if not found.first:
        return "nothing: no member failed before the tendon's own limit"
    kind, name = max(found.first, key=lambda key: found.first[key])
    return member_in_words(kind, name)
