"""The shape of a pattern, and the placements that patterns share."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Row, Stitch, TendonStrip

FRONT_BACK = (-1, 1)


class Bed(Protocol):
    """What a pattern asks of the footprint chart."""

    def edge(self, u: float) -> float:
        """Lateral edge of the footprint (chart v, mm) at ``u`` (mm)."""
        ...


Lay = Callable[[TendonStrip, Bed, Citing], Layout]


@dataclass(frozen=True)
class Pattern:
    """A repair pattern: its name, the title a surgeon reads, its place in lists, and ``lay``."""

    name: str
    title: str
    order: int
    lay: Lay


def anchors_along(strip: TendonStrip, facts: Citing) -> tuple[float, float]:
    """Chart ``u`` (mm) of the front and the back anchor of a row of two on this tear."""
    inset = strip.width * facts.number("pattern.anchor.inset")
    return strip.front + inset, strip.front + strip.width - inset


def half_spread(strip: TendonStrip, facts: Citing, key: str) -> float:
    """Half the distance between the two holes of an anchor (mm), drawn closer on a narrow tear."""
    return min(facts.number(key), strip.width * facts.number("pattern.spread.limit"))


def medial_row(strip: TendonStrip, facts: Citing, implant: str) -> tuple[Anchor, ...]:
    """Two anchors just lateral to the articular margin, ``1`` in front."""
    v = facts.number("pattern.medial.offset")
    return tuple(Anchor(str(n), "medial", u, v, 0.0, implant) for n, u in enumerate(anchors_along(strip, facts), 1))


def footprint_row(
    strip: TendonStrip, bed: Bed, facts: Citing, implant: str, prefix: str = "", row: Row = "lateral"
) -> tuple[Anchor, ...]:
    """Two anchors on the footprint just medial to its lateral edge."""
    inset = facts.number("pattern.lateral.inset")
    places = enumerate(anchors_along(strip, facts), 1)
    return tuple(Anchor(f"{prefix}{n}", row, u, bed.edge(u) - inset, 0.0, implant) for n, u in places)


def wall_row(strip: TendonStrip, bed: Bed, facts: Citing, implant: str) -> tuple[Anchor, ...]:
    """Two anchors on the lateral wall below the footprint's edge, ``L1`` in front."""
    drop = facts.number("pattern.wall.drop")
    places = enumerate(anchors_along(strip, facts), 1)
    return tuple(Anchor(f"L{n}", "lateral", u, bed.edge(u) + drop, 0.0, implant) for n, u in places)


def mattress(strip: TendonStrip, facts: Citing, anchor: Anchor, v: float) -> tuple[tuple[Hole, Hole], Stitch]:
    """The two holes of a horizontal mattress stitch from ``anchor`` at chart ``v`` (mm), and the stitch."""
    half = half_spread(strip, facts, "pattern.mattress.half-spread")
    front, back = (Hole(f"{anchor.name}a{'FB'[side > 0]}", anchor.u + side * half, v) for side in FRONT_BACK)
    return (front, back), Stitch("mattress", anchor.name, (front.name, back.name), stage=0)


def simples(strip: TendonStrip, facts: Citing, anchor: Anchor, v: float) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    """Two simple stitches from a double-loaded ``anchor`` at chart ``v`` (mm): suture a in front, b behind."""
    half = half_spread(strip, facts, "pattern.simple.half-spread")
    names = (f"{anchor.name}aF", f"{anchor.name}bB")
    holes = tuple(Hole(n, anchor.u + side * half, v) for n, side in zip(names, FRONT_BACK, strict=True))
    return holes, tuple(Stitch("simple", anchor.name, (h.name,), stage=0) for h in holes)


def simple_bite(strip: TendonStrip, facts: Citing) -> float:
    """Chart ``v`` (mm) at which simple stitches pass: a fixed bite medial to the reduced tendon edge."""
    return strip.edge - facts.number("pattern.simple.bite")


def bridged(
    strip: TendonStrip, bed: Bed, facts: Citing, name: str, implants: tuple[str, str], *, knotted: bool
) -> Layout:
    """Two medial and two wall anchors; the front limb of each medial anchor runs to ``L1``, the back one to ``L2``."""
    medial = medial_row(strip, facts, implants[0])
    lateral = wall_row(strip, bed, facts, implants[1])
    holes: list[Hole] = []
    stitches: list[Stitch] = []
    for anchor in medial:
        pair, tied = mattress(strip, facts, anchor, anchor.v)
        holes += pair
        stitches += [tied] if knotted else []
        stitches += [
            Stitch("bridge", anchor.name, (hole.name,), stage=1, knotted=knotted, to=end.name)
            for hole, end in zip(pair, lateral, strict=True)
        ]
    return Layout(name, (*medial, *lateral), tuple(holes), tuple(stitches))
