"""Rows of anchors: beside the joint, on the footprint, on the lateral wall."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Row, TendonStrip
from cuffwright.repair.laying.bed import Bed


def anchors_along(strip: TendonStrip, facts: Citing, count: int = 2) -> tuple[float, ...]:
    """Chart ``u`` (mm) of the ``count`` anchors of a row, from the front, evenly over this tear."""
    inset = strip.width * facts.number("pattern.anchor.inset") * (2 / count)
    front, back = strip.front + inset, strip.front + strip.width - inset
    if count == 1:
        return (strip.front + strip.width / 2,)
    between = [front + step * (back - front) / (count - 1) for step in range(1, count - 1)]
    return front, *between, back


def medial_row(strip: TendonStrip, facts: Citing, implant: str, count: int = 2) -> tuple[Anchor, ...]:
    """``count`` anchors just lateral to the articular margin, ``1`` in front."""
    v = facts.number("pattern.medial.offset")
    places = enumerate(anchors_along(strip, facts, count), 1)
    return tuple(Anchor(str(n), "medial", u, v, 0.0, implant) for n, u in places)


def footprint_row(
    strip: TendonStrip,
    bed: Bed,
    facts: Citing,
    implant: str,
    prefix: str = "",
    row: Row = "lateral",
    count: int = 2,
) -> tuple[Anchor, ...]:
    """``count`` anchors on the footprint just medial to its lateral edge."""
    inset = facts.number("pattern.lateral.inset")
    places = enumerate(anchors_along(strip, facts, count), 1)
    return tuple(Anchor(f"{prefix}{n}", row, u, bed.edge(u) - inset, 0.0, implant) for n, u in places)


def wall_row(
    strip: TendonStrip, bed: Bed, facts: Citing, implant: str, count: int = 2, drop: str = "pattern.wall.drop"
) -> tuple[Anchor, ...]:
    """``count`` anchors on the lateral wall below the footprint's edge, ``L1`` in front."""
    below = facts.number(drop)
    places = enumerate(anchors_along(strip, facts, count), 1)
    return tuple(Anchor(f"L{n}", "lateral", u, bed.edge(u) + below, 0.0, implant) for n, u in places)
