"""Whether a pattern fits a tear: what it is meant for, and whether its points fall on bone and tendon."""

from collections.abc import Callable
from itertools import combinations, pairwise
from math import dist
from typing import Protocol

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Hole, Layout, TendonStrip
from cuffwright.case.tear import Tear
from cuffwright.repair.torn import tear_of

Suits = Callable[[TendonStrip, Citing], str | None]
"""Why a pattern is not meant for this tear, as the end of a sentence; None when it is."""

SLACK = 1e-6
"""Numerical choice: a distance may fall short of its limit by this rounding error, mm."""


class Bone(Protocol):
    """What the places of a layout are held against."""

    def contains(self, u: float, v: float) -> bool:
        """Whether the chart point lies on the bone of the tuberosity."""
        ...


def full_thickness(strip: TendonStrip, _facts: Citing) -> str | None:
    """Why a pattern for full-thickness tears is not meant for this one; None when it is."""
    tear = tear_of(strip)
    if tear is not None and not tear.full_thickness:
        return "the tear is of partial thickness; complete it first with completed-partial"
    return None


def too_shallow(tear: Tear, facts: Citing) -> str | None:
    """Why a partial tear is not completed: depth unknown, or under the conventional share; None when deep enough."""
    if tear.partial_depth_mm is None or tear.thickness_mm is None:
        return "its depth share is not known; it needs tear.partial_depth_mm and tear.thickness_mm"
    share = tear.partial_depth_mm.value / tear.thickness_mm.value
    rule = facts.number("rule.partial.depth")
    if share < rule:
        return f"it takes {share:.0%} of the thickness; completion is named from {rule:.0%} on"
    return None


def misplaced(layout: Layout, bone: Bone, facts: Citing) -> str | None:
    """The first anchor off the bone, or the first anchors or limbs too close together; None when all is well."""
    return _off_bone(layout, bone) or _crowded_row(layout, facts) or _crowded_holes(layout.holes, facts)


def _off_bone(layout: Layout, bone: Bone) -> str | None:
    for anchor in layout.anchors:
        if not bone.contains(anchor.u, anchor.v):
            return (
                f"its anchor {anchor.name} would lie {anchor.u:.1f} mm from the front and {anchor.v:.1f} mm from the"
                " margin, off the bone of the tuberosity"
            )
    return None


def _crowded_row(layout: Layout, facts: Citing) -> str | None:
    """Whether neighbours of a row stand closer than even the rule's lower end, where anchors were found weaker."""
    rule = facts.fact("rule.anchor.spacing")
    least = rule.value if rule.low is None else rule.low
    for row in (layout.row("medial"), layout.row("lateral")):
        for one, two in pairwise(row):
            apart = two.u - one.u
            if apart < least - SLACK:
                return (
                    f"its anchors {one.name} and {two.name} would stand {apart:.1f} mm apart; below {least:g} mm"
                    " neighbours weaken each other"
                )
    return None


def _crowded_holes(holes: tuple[Hole, ...], facts: Citing) -> str | None:
    limit = facts.number("limit.neighbour")
    for one, two in combinations(holes, 2):
        apart = dist((one.u, one.v), (two.u, two.v))
        if apart < limit - SLACK:
            return f"its limbs {one.name} and {two.name} would pass {apart:.1f} mm apart; the model needs {limit:g} mm"
    return None
