"""What is refused, what is warned of: the sheet and the layout against rules with sources."""

from collections.abc import Iterable, Iterator
from itertools import combinations, pairwise
from math import dist
from typing import Protocol

from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Layout, TendonStrip
from cuffwright.case.quantity import Caution
from cuffwright.case.reach import SiteReach
from cuffwright.case.sheet import CaseSheet
from cuffwright.repair.fitting import too_shallow
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.patterns._pattern import Pattern
from cuffwright.repair.rules import warnings
from cuffwright.repair.rules._placed import Placed
from cuffwright.repair.torn import TornStrip


class Bone(Protocol):
    """What the rules ask of the footprint chart."""

    @property
    def length(self) -> float:
        """Length of the footprint along the margin, mm."""
        ...

    def contains(self, u: float, v: float) -> bool:
        """Whether the chart point lies on the bone of the tuberosity."""
        ...


def check_sheet(sheet: CaseSheet, facts: Citing) -> tuple[Caution, ...]:
    """Judge the sheet before anything is computed.

    Raises
    ------
    CaseError
        When the tear is wider than any human footprint.
    OutsideValidity
        When no pattern of this release repairs this tear: of partial thickness and shallow or of unknown depth, or
        without a posterosuperior tendon.
    """
    tear = sheet.tear
    widest = facts.number("rule.tear.beyond")
    if tear.width_mm.value > widest:
        raise CaseError(
            f"the tear is {tear.width_mm.value:g} mm wide, more than any human footprint ({widest:g} mm); check the"
            " unit"
        )
    shallow = None if tear.full_thickness else too_shallow(tear, facts)
    if shallow:
        raise OutsideValidity(
            f"the tear is of partial thickness and no pattern of this release repairs it: {shallow}; plan it by hand"
        )
    if "supraspinatus" not in tear.tendons and "infraspinatus" not in tear.tendons:
        raise OutsideValidity(
            f"no pattern of this release repairs a tear of {', '.join(tear.tendons)}; plan it by hand"
        )
    return tuple(_sheet_cautions(sheet, facts))


def _sheet_cautions(sheet: CaseSheet, facts: Citing) -> Iterator[Caution]:
    tear = sheet.tear
    alone = facts.number("rule.tear.supraspinatus")
    if tear.width_mm.value > alone and tear.tendons == ("supraspinatus",):
        yield Caution(
            "tear-wider-than-supraspinatus",
            f"A tear {tear.width_mm.value:g} mm wide exceeds the supraspinatus insertion ({alone:g} mm): look for"
            " infraspinatus.",
            "tear.width_mm",
            fact="rule.tear.supraspinatus",
        )
    if "subscapularis" in tear.tendons or sheet.subscapularis.torn:
        yield Caution(
            "subscapularis-not-repaired",
            "Subscapularis is torn; no pattern of this release repairs it and the numbers leave it out.",
            "tear.tendons",
        )
    if "teres minor" in tear.tendons:
        yield Caution(
            "teres-minor-not-repaired",
            "Teres minor is torn; no pattern of this release repairs it and the numbers leave it out.",
            "tear.tendons",
        )
    if tear.front_mm is None:
        mean = facts.number("rule.front.mean")
        yield Caution(
            "front-not-measured",
            f"Position of the tear not measured: drawn {mean:g} mm behind the front of the footprint, the published"
            " mean. The strength does not depend on it.",
            "tear.front_mm",
            "note",
            "rule.front.mean",
        )
    if tear.thickness_mm is None:
        yield Caution(
            "thickness-not-measured",
            "Tendon thickness not measured: a scenario value with its wide spread stands in; strength follows it"
            " in proportion.",
            "tear.thickness_mm",
            fact="tendon.thickness",
        )
    if not tear.remeasured_after_debridement:
        yield Caution(
            "not-remeasured",
            "Tear not remeasured after debridement; remeasure and plan again before the first anchor.",
            "tear.width_mm",
            "note",
        )


def check_layout(
    layout: Layout,
    strip: TendonStrip,
    bone: Bone,
    facts: Citing,
    sheet: CaseSheet | None = None,
    reached: tuple[SiteReach, ...] = (),
) -> tuple[Caution, ...]:
    """Judge the places of anchors and holes on this bone and this tendon; with the ``sheet``, against every rule.

    ``reached`` says how each site is come by, where that is known.

    Raises
    ------
    CaseError
        When an anchor lies outside the bone or a hole outside the torn tendon.
    """
    for anchor in layout.anchors:
        if not bone.contains(anchor.u, anchor.v):
            raise CaseError(
                f"anchor {anchor.name} at {anchor.u:.1f} mm from the front, {anchor.v:.1f} mm from the margin lies"
                " outside the bone of the tuberosity; move it onto bone"
            )
    held = layout.on(strip)
    for hole in layout.holes:
        if not (held.front < hole.u < held.front + held.width and hole.v < held.edge):
            raise CaseError(
                f"limb {hole.name} at {hole.u:.1f} mm from the front, {hole.v:.1f} mm from the margin misses the torn"
                " tendon; pass it through tendon"
            )
    ruled = warnings(Placed(layout, strip, sheet, reached), facts) if sheet else ()
    return (*_layout_cautions(layout, strip, bone, facts), *ruled)


def refusal(pattern: Pattern, sheet: CaseSheet, strip: TendonStrip, bone: Bed, facts: Citing) -> str | None:
    """Why this pattern is not laid on this tear, in one sentence; None when it is."""
    reason = pattern.fits(TornStrip.of(strip, sheet.tear), bone, facts)
    return f"{pattern.name} is not laid on this tear: {reason}" if reason else None


def _layout_cautions(layout: Layout, strip: TendonStrip, bone: Bone, facts: Citing) -> Iterator[Caution]:
    rule = facts.number("rule.anchor.spacing")
    for one, two in combinations(layout.anchors, 2):
        apart = spacing(one, two)
        if apart < rule:
            yield Caution(
                "spacing-under-rule",
                f"{apart:.1f} mm between anchors {one.name} and {two.name}, rule {rule:g}.",
                f"{one.name},{two.name}",
                fact="rule.anchor.spacing",
            )
    if strip.front + strip.width > bone.length:
        beyond = strip.front + strip.width - bone.length
        yield Caution(
            "tear-past-strip",
            f"The tear runs {beyond:.1f} mm past the {bone.length:g} mm strip into the other tendons; the bone there"
            " is drawn as the strip's back end.",
            "tear.width_mm",
        )


def spacing(one: Anchor, two: Anchor) -> float:
    """Distance between two anchor beds along the chart, centre to centre, mm."""
    return dist((one.u, one.v), (two.u, two.v))


def closest_beds(anchors: Iterable[Anchor]) -> tuple[float, Anchor, Anchor] | None:
    """The two closest anchor beds with their distance in mm; None with fewer than two anchors."""
    pairs = [(spacing(a, b), a, b) for a, b in combinations(tuple(anchors), 2)]
    return min(pairs, key=lambda p: p[0]) if pairs else None


def widest_gap(anchors: Iterable[Anchor]) -> float | None:
    """The widest distance between neighbours of one row, mm; None with fewer than two anchors."""
    row = sorted(anchors, key=lambda a: a.u)
    return max((spacing(a, b) for a, b in pairwise(row)), default=None)
