"""A bench construct as anchors, holes and stitches on its strip of tendon."""

from collections.abc import Iterator, Mapping

from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.course.proof.bench import Construct

MEDIAL, FOOTPRINT, WALL = "all-suture-2.5", "threaded-5.0", "push-in-4.5"


def lay(construct: Construct, setup: Mapping[str, float]) -> tuple[Layout, TendonStrip]:
    """The layout and its strip with the numbers of ``setup`` (mm).

    ``width``, ``edge`` and ``thickness`` are the strip's; ``spacing`` between anchors of a row; ``medial`` the
    medial row from the margin; ``inset`` of footprint anchors from the edge; ``beyond`` of wall anchors past it
    along the bone; ``half_mattress`` from anchor to mattress hole; ``apart`` between simple stitches of one anchor;
    ``bite`` of lateral stitches from the tendon edge; ``across`` how far medial to a lateral mattress the simple
    stitch passes that is laid over it.
    """
    strip = TendonStrip(0.0, setup["width"], setup["edge"], setup["thickness"])
    medial = tuple(
        Anchor(str(n), "medial", u, setup["medial"], 0.0, MEDIAL)
        for n, u in enumerate(_row(strip, setup, construct.medial), 1)
    )
    lateral = tuple(_lateral(construct, strip, setup))
    holes: list[Hole] = []
    stitches: list[Stitch] = []
    for anchor in medial:
        pair = _pair(anchor, setup["half_mattress"], anchor.v)
        holes += pair
        if construct.mattress:
            stitches.append(Stitch("mattress", anchor.name, (pair[0].name, pair[1].name), 0))
    if construct.lateral_stitch in ("simple", "mason-allen"):
        bite = strip.edge - setup["bite"]
        for anchor in lateral:
            simple = construct.lateral_stitch == "simple"
            sewn = _simple(construct, anchor, bite, setup) if simple else _locked(anchor, bite, setup)
            holes += sewn[0]
            stitches += sewn[1]
    if construct.lateral_stitch == "bridge":
        stitches += _bridges(construct, medial, lateral)
    return Layout(construct.name, (*medial, *lateral), tuple(holes), tuple(stitches)), strip


def _pair(anchor: Anchor, half: float, v: float) -> tuple[Hole, Hole]:
    """The two holes of a mattress stitch at ``v``, ``half`` mm before and behind ``anchor``."""
    return Hole(f"{anchor.name}aF", anchor.u - half, v), Hole(f"{anchor.name}aB", anchor.u + half, v)


def _row(strip: TendonStrip, setup: Mapping[str, float], count: int) -> list[float]:
    return [strip.width / 2 + (n - (count - 1) / 2) * setup["spacing"] for n in range(count)]


def _lateral(construct: Construct, strip: TendonStrip, setup: Mapping[str, float]) -> Iterator[Anchor]:
    wall = construct.lateral_stitch == "bridge"
    v = strip.edge + setup["beyond"] if wall else strip.edge - setup["inset"]
    for n, u in enumerate(_row(strip, setup, construct.lateral), 1):
        yield Anchor(f"L{n}", "lateral", u, v, 0.0, WALL if wall else FOOTPRINT)


Sewn = tuple[tuple[Hole, ...], tuple[Stitch, ...]]


def _simple(construct: Construct, anchor: Anchor, bite: float, setup: Mapping[str, float]) -> Sewn:
    """Simple stitches of one anchor side by side at ``bite``, chart v."""
    places = [anchor.u + (n - (construct.each - 1) / 2) * setup["apart"] for n in range(construct.each)]
    holes = tuple(Hole(f"{anchor.name}{chr(ord('a') + n)}F", u, bite) for n, u in enumerate(places))
    return holes, tuple(Stitch("simple", anchor.name, (hole.name,), 0) for hole in holes)


def _locked(anchor: Anchor, bite: float, setup: Mapping[str, float]) -> Sewn:
    """A mattress stitch at ``bite``, chart v, and a simple one across it: the modified Mason-Allen stitch."""
    pair = _pair(anchor, setup["half_mattress"], bite)
    across = Hole(f"{anchor.name}bF", anchor.u, bite - setup["across"])
    tied = Stitch("mattress", anchor.name, (pair[0].name, pair[1].name), 0)
    return (*pair, across), (tied, Stitch("simple", anchor.name, (across.name,), 0))


def _bridges(construct: Construct, medial: tuple[Anchor, ...], lateral: tuple[Anchor, ...]) -> Iterator[Stitch]:
    """The front limb of each medial anchor to the front wall anchor, the back limb to the back one.

    With one wall anchor, one limb of each medial anchor runs to it: the one nearer to it.
    """
    for anchor in medial:
        sides = "FB" if len(lateral) > 1 else ("B" if anchor.u < lateral[0].u else "F")
        for side in sides:
            end = lateral[0] if side == "F" else lateral[-1]
            hole = f"{anchor.name}a{side}"
            yield Stitch("bridge", anchor.name, (hole,), 1, construct.knotted, end.name)
