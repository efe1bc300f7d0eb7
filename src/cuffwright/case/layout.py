"""Where the anchors sit, where the limbs pass, and how they are joined: one repair on the chart.

Points are chart points (mm): ``u`` from the front of the footprint backwards, ``v`` from the articular
margin laterally, ``z`` outwards. They carry no side. Anchors are numbered from anterior: ``1``, ``2`` in the
row next to the joint (or the only row), ``L1``, ``L2`` in a lateral row. A limb, and the hole it passes, is
named anchor, suture letter, then ``F`` (front) or ``B`` (back): ``1aF``, spoken "one a front". A side-to-side
stitch has no anchor; its limbs are ``S1aF``, ``S1aB``, counted from the tendon edge. A bone tunnel is written as two
anchors, its mouth beside the joint and its mouth on the lateral wall.
"""

from dataclasses import dataclass, replace
from typing import Literal

from cuffwright.case.errors import CaseError

Row = Literal["medial", "lateral"]
StitchKind = Literal["simple", "mattress", "bridge", "side-to-side", "transosseous"]


@dataclass(frozen=True)
class Anchor:
    """An anchor: its name, row, chart position (mm) and the key of its generic implant row."""

    name: str
    row: Row
    u: float
    v: float
    z: float
    implant: str


@dataclass(frozen=True)
class Hole:
    """A limb's passage through the tendon at chart position ``u``, ``v`` (mm), named after the limb."""

    name: str
    u: float
    v: float


@dataclass(frozen=True)
class Stitch:
    """One suture run.

    ``mattress``: from ``anchor`` up through both ``holes`` and back, tied.
    ``simple``: from ``anchor`` up through its hole, over the edge and back, tied.
    ``bridge``: from its hole over the tendon to the lateral anchor ``to``; it starts at the knot when
    ``knotted``, else it slides through the hole from ``anchor``.
    ``side-to-side``: through both ``holes`` and back under the tendon, tied; it has no anchor (``""``).
    ``transosseous``: out of the tunnel's mouth ``anchor``, up through its hole, over the tendon and into the mouth
    ``to`` on the wall, tied there upon itself.
    ``stage`` is the tying stage, 0 first.
    """

    kind: StitchKind
    anchor: str
    holes: tuple[str, ...]
    stage: int
    knotted: bool = True
    to: str | None = None

    @property
    def name(self) -> str:
        """The stitch by its limbs, such as ``1aF-1aB`` or ``1aF>L1``."""
        run = "-".join(self.holes)
        return f"{run}>{self.to}" if self.to else run


TUNNEL = "bone-tunnel"
"""What stands in place of an implant at the mouth of a bone tunnel."""


@dataclass(frozen=True)
class TendonStrip:
    """The torn tendon as the mechanics sees it, in chart mm.

    ``front`` is the chart ``u`` of the tear's front edge, ``width`` its AP width, ``edge`` the chart ``v`` of
    the reduced tendon edge (the lateral edge of the footprint), ``thickness`` the tendon's.
    """

    front: float
    width: float
    edge: float
    thickness: float


@dataclass(frozen=True)
class RepairedPart:
    """The part of the tendon a repair takes, in chart mm: ``front``, ``width`` and the ``edge`` it is brought to."""

    front: float
    width: float
    edge: float


@dataclass(frozen=True)
class Layout:
    """A whole repair; ``part`` stands where not the whole torn tendon comes to the footprint's lateral edge.

    ``edited`` says that anchors or stitches were added, removed or run otherwise than the pattern lays them.

    Raises
    ------
    CaseError
        At birth, when a name is used twice or a stitch names an anchor or hole that does not exist.
    """

    pattern: str
    anchors: tuple[Anchor, ...]
    holes: tuple[Hole, ...]
    stitches: tuple[Stitch, ...]
    part: RepairedPart | None = None
    edited: bool = False

    def __post_init__(self) -> None:
        anchors = [a.name for a in self.anchors]
        holes = [h.name for h in self.holes]
        for names, what in ((anchors, "anchor"), (holes, "hole")):
            double = {n for n in names if names.count(n) > 1}
            if double:
                raise CaseError(f"{what} {min(double)} stands twice in the layout; give each its own name")
        for stitch in self.stitches:
            ends = {end for end in (stitch.anchor, stitch.to) if end}
            lost = (ends - set(anchors)) | (set(stitch.holes) - set(holes))
            if lost:
                raise CaseError(f"stitch {stitch.name} runs to {min(lost)}, which is not in the layout")

    def anchor(self, name: str) -> Anchor:
        """The anchor called ``name``; raises CaseError when there is none."""
        for anchor in self.anchors:
            if anchor.name == name:
                return anchor
        raise CaseError(f"there is no anchor {name} in this layout; it has {', '.join(a.name for a in self.anchors)}")

    def hole(self, name: str) -> Hole:
        """The hole of limb ``name``; raises CaseError when there is none."""
        for hole in self.holes:
            if hole.name == name:
                return hole
        raise CaseError(f"there is no limb {name} in this layout; it has {', '.join(h.name for h in self.holes)}")

    def with_anchor(self, moved: Anchor) -> "Layout":
        """The same layout with one anchor replaced; raises CaseError when there is none of that name."""
        self.anchor(moved.name)
        return replace(self, anchors=tuple(moved if a.name == moved.name else a for a in self.anchors))

    def with_hole(self, moved: Hole) -> "Layout":
        """The same layout with one hole replaced; raises CaseError when there is none of that name."""
        self.hole(moved.name)
        return replace(self, holes=tuple(moved if h.name == moved.name else h for h in self.holes))

    def row(self, row: Row) -> tuple[Anchor, ...]:
        """The anchors of one row, from anterior."""
        return tuple(sorted((a for a in self.anchors if a.row == row), key=lambda a: a.u))

    def on(self, torn: TendonStrip) -> TendonStrip:
        """The strip this repair holds: its own part of the ``torn`` tendon, or all of it."""
        if self.part is None:
            return torn
        return TendonStrip(self.part.front, self.part.width, self.part.edge, torn.thickness)
