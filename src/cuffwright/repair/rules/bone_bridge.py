"""Bone left between the mouths of bone tunnels."""

from collections.abc import Iterator
from itertools import combinations
from math import dist

from cuffwright.case.fact import Citing
from cuffwright.case.layout import TUNNEL
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn where two tunnel mouths leave less bone between them than the rule."""
    mouths = [anchor for anchor in placed.layout.anchors if anchor.implant == TUNNEL]
    for one, two in combinations(mouths, 2):
        rule, left = facts.number("rule.bone-bridge"), dist((one.u, one.v), (two.u, two.v))
        if left < rule:
            yield Caution(
                "bone-bridge-under-rule",
                f"{left:.1f} mm of bone between tunnel mouths {one.name} and {two.name}, rule {rule:g}.",
                f"{one.name},{two.name}",
                fact="rule.bone-bridge",
            )
