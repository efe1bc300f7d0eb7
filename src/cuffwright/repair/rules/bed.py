"""What lies in the bed of an anchor: cysts and anchors of an earlier operation.

An anchor's own bed is half the spacing rule around it: two anchors at the rule's distance just do not share bone.
"""

from collections.abc import Iterator
from math import dist

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor
from cuffwright.case.quantity import Caution
from cuffwright.case.tissues import Cyst, EarlierAnchor
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn of a cyst that reaches into an anchor's bed, and of an earlier anchor closer than the spacing rule."""
    rule = facts.number("rule.anchor.spacing")
    for anchor in placed.layout.anchors:
        for cyst in placed.sheet.bone.cysts:
            yield from _cyst(anchor, cyst, rule)
        for earlier in placed.sheet.bone.earlier_anchors:
            yield from _earlier(anchor, earlier, rule)


def _cyst(anchor: Anchor, cyst: Cyst, rule: float) -> Iterator[Caution]:
    bone = dist((anchor.u, anchor.v), (cyst.u, cyst.v)) - cyst.diameter_mm / 2
    if bone < rule / 2:
        told = f"{bone:.1f} mm of bone to" if bone > 0 else "inside"
        yield Caution(
            "cyst-in-bed",
            f"Anchor {anchor.name}: {told} a cyst of {cyst.diameter_mm:g} mm; its bed is {rule / 2:g} mm around it.",
            anchor.name,
            fact="rule.anchor.spacing",
        )


def _earlier(anchor: Anchor, earlier: EarlierAnchor, rule: float) -> Iterator[Caution]:
    apart = dist((anchor.u, anchor.v), (earlier.u, earlier.v))
    if apart < rule:
        yield Caution(
            "earlier-anchor-in-bed",
            f"Anchor {anchor.name} would stand {apart:.1f} mm from an earlier anchor, rule {rule:g}.",
            anchor.name,
            fact="rule.anchor.spacing",
        )
