"""The null model: strength is holes times a constant, area is limbs times a constant. Skill is what ours adds to it.

The gap is the load over holes times a constant, the stiffness holes times a constant: equal springs side by side.
A second one counts the limbs on the tendon in place of the holes, which favours bridging repairs.
"""

from collections.abc import Callable
from dataclasses import dataclass

from cuffwright.case.fact import Citing
from cuffwright.course.proof.bench import Construct, Target

Count = Callable[[Construct], int]


def by_holes(construct: Construct) -> int:
    """Passages through the tendon."""
    return construct.holes


def by_limbs(construct: Construct) -> int:
    """Stretches of suture on the tendon."""
    return construct.limbs


@dataclass(frozen=True)
class Null:
    """Constants fitted to the very rows ours is fitted to, for what ``count`` counts.

    ``strength`` N each, ``area`` mm2 per limb, ``gap`` and ``cycled`` mm each per newton.
    """

    count: Count
    strength: float
    area: float
    gap: float
    cycled: float

    @classmethod
    def from_facts(cls, facts: Citing, count: Count, double: Construct, bridge: Construct) -> "Null":
        """Fit to the double row's ultimate and gaps at 180 N, and to the area under four bridging limbs."""
        n = facts.number
        load = n("published.load.cyclic")
        many = count(double)
        return cls(
            count,
            n("published.ultimate.double.2007") / many,
            n("published.area.bridge4.2007") / bridge.limbs,
            n("published.gap.double.first") * many / load,
            n("published.gap.double.200") * many / load,
        )

    def value(self, construct: Construct, target: Target) -> float | None:
        """What the null model says of a construct; None where it has nothing to say."""
        many = self.count(construct)
        each = {
            "ultimate": self.strength * many,
            "yield": self.strength * many if target.over else None,
            "stiffness": float(many) if target.over else None,
            "gap": self.gap * target.load / many,
            "gap-cycled": self.cycled * target.load / many,
            "area": self.area * construct.limbs,
        }
        return each.get(target.quantity)
