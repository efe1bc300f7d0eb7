"""What each limb, hole and anchor carries, and how often it gives way first."""

from collections.abc import Callable, Mapping

from cuffwright.case.hold import MemberKind, MemberLoad
from cuffwright.case.quantity import Interval
from cuffwright.course.rounding import newtons, part
from cuffwright.mechanics.pull import Ramp, bearing_force

Loaded = Callable[[MemberKind, int], Interval | None]
"""The load of a member (kind, place) at the stated load as an interval; None where it is not reached."""


def member_loads(ramp: Ramp, loaded: Loaded, first: Mapping[tuple[MemberKind, str], float]) -> tuple[MemberLoad, ...]:
    """Every limb, hole and anchor with its load as tied and at the stated load, capacity and first-failure share."""
    woven, net, curve = ramp.woven, ramp.woven.net, ramp.curve
    count = len(woven.holes)
    tied = bearing_force(net, curve.slot[0])[:count]
    rows: list[tuple[MemberKind, tuple[str, ...], list[float], list[float]]] = [
        ("limb", woven.limbs, curve.tension[0].tolist(), net.strength.tolist()),
        ("hole", woven.holes, tied.tolist(), net.tear[:count].tolist()),
        ("anchor", woven.anchors, curve.anchor[0].tolist(), net.hold.tolist()),
    ]
    return tuple(
        MemberLoad(
            name=name,
            kind=kind,
            tied=newtons(at_rest),
            loaded=loaded(kind, place),
            capacity=newtons(bears),
            first_share=part(first.get((kind, name), 0.0)),
        )
        for kind, names, carried, strengths in rows
        for place, (name, at_rest, bears) in enumerate(zip(names, carried, strengths, strict=True))
    )
