"""The one sentence that opens the repair: worst news first, every number askable, no adjectives."""

from collections.abc import Sequence

from cuffwright.case.fact import Citing
from cuffwright.case.hold import ScenarioHold
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Caution
from cuffwright.course.rules import closest_beds

Part = tuple[str, str]
"""Words, and the name under which they can be asked ("" when they cannot)."""

KINDS = {"hole": "the hole of limb", "rope": "limb", "limb": "limb", "anchor": "anchor"}


def member_in_words(kind: str, name: str) -> str:
    """A member as a surgeon says it: ``the hole of limb 1aF``."""
    return f"{KINDS[kind]} {name}"


def verdict_parts(
    layout: Layout,
    title: str,
    scenarios: Sequence[ScenarioHold],
    cautions: Sequence[Caution],
    facts: Citing,
) -> tuple[Part, ...]:
    """The verdict as words with the name each number can be asked by."""
    parts: list[Part] = [(f"{c.text} ", f"caution.{c.code}") for c in cautions if c.severity == "stop"]
    beds = closest_beds(layout.anchors)
    if beds:
        parts += [
            (f"{beds[0]:.1f} mm", "spacing"),
            (" between two anchor beds, rule ", ""),
            (f"{facts.number('rule.anchor.spacing'):g}", "spacing"),
            (". ", ""),
        ]
    parts.append((f"{title}: ", ""))
    for index, one in enumerate(_worst_first(scenarios)):
        parts += _scenario(one, "; " if index else "")
    parts.append((". Time zero, laboratory.", "ultimate"))
    return tuple(parts)


def _worst_first(scenarios: Sequence[ScenarioHold]) -> list[ScenarioHold]:
    return sorted(scenarios, key=lambda s: s.ultimate.middle)


def _scenario(one: ScenarioHold, before: str) -> list[Part]:
    ask = f"ultimate.{one.tissue}"
    told = f"{before}{one.tissue} tissue, {one.bone} bone: weakest at "
    estimate = "" if one.settled else "about "
    return [
        (told, ""),
        (one.weakest, f"weakest.{one.tissue}"),
        (", ", ""),
        (f"{estimate}{one.ultimate.middle:g} N", ask),
        (f" ({one.ultimate.share:.0%} of draws between ", ""),
        (f"{one.ultimate.low:g} and {one.ultimate.high:g}", ask),
        (")", ""),
    ]
