"""Stitches at an anchor: mattress and simple, with their holes."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip

FRONT_BACK = (-1, 1)


def half_spread(
    strip: TendonStrip, facts: Citing, key: str, count: int = 2, limit: str = "pattern.spread.limit"
) -> float:
    """Half the distance between the outer holes of an anchor (mm), drawn closer on a narrow tear or in a full row."""
    return min(facts.number(key), strip.width * facts.number(limit) * (2 / count))


def mattress(
    strip: TendonStrip, facts: Citing, anchor: Anchor, v: float, count: int = 2
) -> tuple[tuple[Hole, Hole], Stitch]:
    """The two holes of a horizontal mattress stitch from ``anchor`` at chart ``v`` (mm), and the stitch."""
    half = half_spread(strip, facts, "pattern.mattress.half-spread", count)
    front, back = (Hole(f"{anchor.name}a{'FB'[side > 0]}", anchor.u + side * half, v) for side in FRONT_BACK)
    return (front, back), Stitch("mattress", anchor.name, (front.name, back.name), stage=0)


def simples(
    strip: TendonStrip, facts: Citing, anchor: Anchor, v: float, count: int = 2
) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    """Two simple stitches from a double-loaded ``anchor`` at chart ``v`` (mm): suture a in front, b behind."""
    half = half_spread(strip, facts, "pattern.simple.half-spread", count)
    names = (f"{anchor.name}aF", f"{anchor.name}bB")
    holes = tuple(Hole(n, anchor.u + side * half, v) for n, side in zip(names, FRONT_BACK, strict=True))
    return holes, tuple(Stitch("simple", anchor.name, (h.name,), stage=0) for h in holes)


def simple_bite(strip: TendonStrip, facts: Citing) -> float:
    """Chart ``v`` (mm) at which simple stitches pass: a fixed bite medial to the reduced tendon edge."""
    return strip.edge - facts.number("pattern.simple.bite")


def gathered(name: str, anchors: tuple[Anchor, ...], runs: list[tuple[tuple[Hole, ...], tuple[Stitch, ...]]]) -> Layout:
    """The layout of ``anchors`` and the holes and stitches of all ``runs``, in their order."""
    holes = tuple(hole for some, _ in runs for hole in some)
    return Layout(name, anchors, holes, tuple(stitch for _, some in runs for stitch in some))
