"""Distance of the medial passes from the musculotendinous junction."""

from collections.abc import Iterator

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn of limbs closer to the junction than the rule; say so when the remaining tendon was not measured."""
    rule = facts.number("rule.junction.distance")
    remaining = placed.sheet.tear.remaining_tendon_mm
    if remaining is None:
        yield Caution(
            "junction-unknown",
            f"Distance of the medial passes from the musculotendinous junction (rule {rule:g} mm) not computed, needs"
            " tear.remaining_tendon_mm.",
            "tear.remaining_tendon_mm",
            "note",
            "rule.junction.distance",
        )
        return
    junction = placed.strip.edge - remaining.value
    for hole in placed.passes:
        if hole.v - junction < rule:
            yield Caution(
                "junction-too-close",
                f"Limb {hole.name} passes {_away(hole.v - junction)} the musculotendinous junction, rule {rule:g} mm"
                " lateral of it.",
                hole.name,
                fact="rule.junction.distance",
            )


def _away(distance: float) -> str:
    if distance < 0:
        return f"{-distance:.1f} mm medial to"
    return f"{distance:.1f} mm lateral of"
