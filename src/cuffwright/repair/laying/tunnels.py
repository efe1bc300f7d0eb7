"""Bone tunnels: two mouths a tunnel, and sutures from the mouth beside the joint to the mouth on the wall."""

from cuffwright.case.fact import Citing
from cuffwright.case.layout import TUNNEL, Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.repair.laying.bed import Bed
from cuffwright.repair.laying.rows import anchors_along, wall_row
from cuffwright.repair.laying.stitches import FRONT_BACK, gathered, half_spread


def tunnelled(strip: TendonStrip, bed: Bed, facts: Citing, name: str, *, crossed: bool) -> Layout:
    """Two tunnels with two sutures each; ``crossed`` sends every front limb to ``L1`` and every back limb to ``L2``."""
    v = facts.number("pattern.tunnel.offset")
    places = enumerate(anchors_along(strip, facts), 1)
    medial = tuple(Anchor(str(n), "medial", u, v, 0.0, TUNNEL) for n, u in places)
    lateral = wall_row(strip, bed, facts, TUNNEL, drop="pattern.tunnel.drop")
    front, back = (mouth.name for mouth in lateral)
    own = [(mouth.name, mouth.name) for mouth in lateral]
    ends = [(front, back) for _ in lateral] if crossed else own
    runs = [sewn(strip, facts, mouth, to) for mouth, to in zip(medial, ends, strict=True)]
    return gathered(name, (*medial, *lateral), runs)


def sewn(
    strip: TendonStrip, facts: Citing, mouth: Anchor, ends: tuple[str, str]
) -> tuple[tuple[Hole, ...], tuple[Stitch, ...]]:
    """Two sutures out of ``mouth``, a in front and b behind, up through the tendon and over it to ``ends``."""
    half = half_spread(strip, facts, "pattern.simple.half-spread")
    names = (f"{mouth.name}aF", f"{mouth.name}bB")
    holes = tuple(Hole(n, mouth.u + side * half, mouth.v) for n, side in zip(names, FRONT_BACK, strict=True))
    stitches = [
        Stitch("transosseous", mouth.name, (hole.name,), stage=0, to=end) for hole, end in zip(holes, ends, strict=True)
    ]
    return holes, tuple(stitches)
