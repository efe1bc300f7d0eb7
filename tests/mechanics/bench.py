"""Laboratory repairs that the mechanics tests share: the constructs of the published benches, laid on one strip."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.parameters import Parameters

STRIP = TendonStrip(front=0.0, width=20.0, edge=12.0, thickness=5.0)
WALL = 12.0 + (3.0**2 + 8.0**2) ** 0.5


def laboratory(*, bridging_factor: bool = False) -> Parameters:
    """Parameters of a bench test: intact donor tendon, one anchor strength."""
    return Parameters.from_facts(
        Citing(load_book()),
        tissue="good",
        bone="good",
        torn=False,
        design_anchors=True,
        bridging_factor=bridging_factor,
    )


def _anchors(row, prefix, v, implant):
    return tuple(Anchor(f"{prefix}{n}", row, u, v, 0.0, implant) for n, u in ((1, 5.0), (2, 15.0)))


def _simple(anchors, spread, v=4.0):
    holes, stitches = [], []
    for anchor in anchors:
        for letter, du in zip("abc", spread, strict=False):
            hole = Hole(f"{anchor.name}{letter}F", anchor.u + du, v)
            holes.append(hole)
            stitches.append(Stitch("simple", anchor.name, (hole.name,), 0))
    return tuple(holes), tuple(stitches)


def _mattress(anchors, v):
    holes, stitches = [], []
    for anchor in anchors:
        pair = (Hole(f"{anchor.name}aF", anchor.u - 2.5, v), Hole(f"{anchor.name}aB", anchor.u + 2.5, v))
        holes += pair
        stitches.append(Stitch("mattress", anchor.name, (pair[0].name, pair[1].name), 0))
    return tuple(holes), tuple(stitches)


def single_row(spread=(-2.0, 2.0)):
    """Two anchors near the lateral edge, simple stitches."""
    anchors = _anchors("lateral", "L", 10.5, "threaded-5.0")
    return Layout("single-row", anchors, *_simple(anchors, spread))


def double_row():
    """The single row and a medial mattress row."""
    one = single_row()
    anchors = _anchors("medial", "", 1.0, "all-suture-2.5")
    holes, stitches = _mattress(anchors, 1.0)
    return Layout("double-row", (*one.anchors, *anchors), (*one.holes, *holes), (*one.stitches, *stitches))


def bridging(*, knotted=True):
    """Two medial mattress stitches, four limbs to two wall anchors; or the same limbs sliding, unknotted."""
    medial = _anchors("medial", "", 1.0, "all-suture-2.5")
    wall = _anchors("lateral", "L", WALL, "push-in-4.5")
    holes, tied = _mattress(medial, 1.0)
    limbs = tuple(
        Stitch("bridge", a.name, (f"{a.name}a{side}",), 1, knotted, end.name)
        for a in medial
        for side, end in zip("FB", wall, strict=True)
    )
    return Layout("bridging", (*medial, *wall), holes, (*(tied if knotted else ()), *limbs))


def six_simple():
    """Three simple stitches on each of two anchors, 10 mm from the tendon edge."""
    anchors = _anchors("lateral", "L", 10.5, "threaded-5.0")
    return Layout("six-simple", anchors, *_simple(anchors, (-2.5, 0.0, 2.5), v=2.0))
