"""A repair that brings less than the whole tendon to less than the whole footprint."""

from collections.abc import Iterator

from cuffwright.case.fact import Citing
from cuffwright.case.layout import RepairedPart, TendonStrip
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn of a medialised insertion, and say what stays open."""
    part = placed.layout.part
    if part is not None:
        yield from _medialised(part, placed.torn, facts)
        yield from _open(part, placed.torn)


def _medialised(part: RepairedPart, torn: TendonStrip, facts: Citing) -> Iterator[Caution]:
    rule, short = facts.number("rule.medialised.motion"), torn.edge - part.edge
    if short >= rule:
        yield Caution(
            "medialised",
            f"The insertion is medialised by {short:.1f} mm; from {rule:g} mm on, motion was lost in cadavers.",
            "layout",
            fact="rule.medialised.motion",
        )


def _open(part: RepairedPart, torn: TendonStrip) -> Iterator[Caution]:
    left = torn.width - part.width
    if left > 0:
        yield Caution(
            "left-open",
            f"{left:.1f} mm of the {torn.width:g} mm wide tear stay open; strength and contact are those of the part"
            " repaired.",
            "tear.width_mm",
        )
