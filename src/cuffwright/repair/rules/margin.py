"""Distance of the medial row from the articular margin."""

from collections.abc import Iterator

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn of a medial anchor that leaves the bone beside the cartilage uncovered."""
    for anchor in placed.layout.row("medial"):
        rule = facts.number("rule.anchor.margin")
        if anchor.v > rule:
            yield Caution(
                "far-from-margin",
                f"Anchor {anchor.name} sits {anchor.v:.1f} mm from the articular margin, usual {rule:g} or less.",
                anchor.name,
                fact="rule.anchor.margin",
            )
