"""Distance of the limbs from the reduced tendon edge."""

from collections.abc import Iterator

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn of a limb that takes little tendon between itself and the edge."""
    for hole in placed.passes:
        rule, bite = facts.number("rule.edge.distance"), placed.strip.edge - hole.v
        if bite < rule:
            yield Caution(
                "edge-under-rule",
                f"Limb {hole.name} passes {bite:.1f} mm from the tendon edge, rule {rule:g}.",
                hole.name,
                fact="rule.edge.distance",
            )
