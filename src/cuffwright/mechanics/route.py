"""The way of every suture: which sites it passes, in which order, from anchor to anchor.

=========================  =====================================================================
mattress                   anchor, under and over hole 1, over and under hole 2, anchor
simple                     anchor, under and over the hole, over and under the tendon edge, anchor
bridge, knotted            over its hole (the knot), over a strap at the tendon edge, lateral anchor
bridge, knotless           medial anchor, under and over its hole, over the strap, lateral anchor
transosseous               as a knotless bridge, from the tunnel's medial to its lateral mouth
side-to-side               under and over hole 1, over and under hole 2, back to hole 1
=========================  =====================================================================
"""

from dataclasses import dataclass

import numpy as np

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Layout, Stitch
from cuffwright.mechanics.net import HOLE, ON_ANCHOR, ON_BOTTOM, ON_TOP, STRAP, WRAP, Whole

Node = tuple[int, int]

PAIRED = ("mattress", "side-to-side")
"""Stitches through two holes."""

LATERAL = ("bridge", "transosseous")
"""Stitches that run over the tendon to a second anchor or tunnel mouth."""


@dataclass(frozen=True, eq=False)
class Route:
    """Sites and ropes of a layout, without places.

    ``holes`` and ``anchors`` name the rows of the arrays that carry their places; ``kinds`` (h) is the stitch
    kind that sets a hole's capacity. ``kind``, ``hole`` and ``anchor`` (n) describe each site: what it is,
    the hole it hangs on and the lateral anchor a strap aims at (-1 for none). ``on``, ``which`` (r, m) and
    ``nodes`` (r) are the ropes' nodes and their number, ``ends`` (r) the anchors each rope runs to.
    """

    holes: tuple[str, ...]
    anchors: tuple[str, ...]
    kinds: tuple[str, ...]
    kind: Whole
    hole: Whole
    anchor: Whole
    on: Whole
    which: Whole
    nodes: Whole
    ends: Whole


def route(layout: Layout) -> Route:
    """Thread every stitch of ``layout``; holes without a stitch are left out.

    Raises
    ------
    CaseError
        When a stitch has the wrong number of holes, or a bridge has no lateral anchor to run to.
    """
    holes = tuple(h.name for h in layout.holes if any(h.name in s.holes for s in layout.stitches))
    anchors = tuple(a.name for a in layout.anchors)
    sites = [(HOLE, n, -1) for n in range(len(holes))]
    runs: list[list[Node]] = []
    for stitch in layout.stitches:
        check(stitch)
        through = [holes.index(name) for name in stitch.holes]
        post = anchors.index(stitch.anchor) if stitch.anchor else -1
        if stitch.kind in PAIRED:
            runs.append(paired(stitch, through, post))
            continue
        end = anchors.index(stitch.to) if stitch.to else -1
        sites.append((WRAP, through[0], -1) if stitch.kind == "simple" else (STRAP, through[0], end))
        runs.append(single(stitch, through[0], len(sites) - 1, post, end))
    return pack(layout, holes, anchors, sites, runs)


def paired(stitch: Stitch, through: list[int], post: int) -> list[Node]:
    """The nodes of a stitch through two holes, ``through``: from ``post`` and back, or closed upon itself."""
    first, last = through
    loop = [(ON_BOTTOM, first), (ON_TOP, first), (ON_TOP, last), (ON_BOTTOM, last)]
    if stitch.kind == "side-to-side":
        return [*loop, (ON_BOTTOM, first)]
    return [(ON_ANCHOR, post), *loop, (ON_ANCHOR, post)]


def single(stitch: Stitch, hole: int, site: int, post: int, end: int) -> list[Node]:
    """The nodes of a stitch through one ``hole``: round the edge or over the strap ``site``, to ``post`` or ``end``."""
    up = [(ON_ANCHOR, post), (ON_BOTTOM, hole), (ON_TOP, hole)]
    if stitch.kind == "simple":
        return [*up, (ON_TOP, site), (ON_BOTTOM, site), (ON_ANCHOR, post)]
    starts_at_knot = stitch.kind == "bridge" and stitch.knotted
    return [*(up[2:] if starts_at_knot else up), (ON_TOP, site), (ON_ANCHOR, end)]


def check(stitch: Stitch) -> None:
    """Raise CaseError when a stitch cannot be threaded."""
    need = 2 if stitch.kind in PAIRED else 1
    if len(stitch.holes) != need:
        raise CaseError(f"stitch {stitch.name} passes {len(stitch.holes)} holes; a {stitch.kind} stitch passes {need}")
    if (stitch.kind in LATERAL) != (stitch.to is not None):
        raise CaseError(f"stitch {stitch.name}: a bridge runs to a lateral anchor and no other stitch does; correct it")
    if (stitch.kind == "side-to-side") == bool(stitch.anchor):
        raise CaseError(f"stitch {stitch.name}: a side-to-side stitch has no anchor and every other has; correct it")


def pack(
    layout: Layout,
    holes: tuple[str, ...],
    anchors: tuple[str, ...],
    sites: list[tuple[int, int, int]],
    runs: list[list[Node]],
) -> Route:
    """Put sites and ropes into arrays, ropes padded to the longest."""
    longest = max((len(run) for run in runs), default=1)
    on = np.zeros((len(runs), longest), np.int64)
    which = np.zeros((len(runs), longest), np.int64)
    for r, run in enumerate(runs):
        on[r, : len(run)] = [kind for kind, _ in run]
        which[r, : len(run)] = [index for _, index in run]
    table = np.array(sites, np.int64).reshape(-1, 3)
    return Route(
        holes=holes,
        anchors=anchors,
        kinds=tuple(hole_kind(layout, name) for name in holes),
        kind=table[:, 0].copy(),
        hole=table[:, 1].copy(),
        anchor=table[:, 2].copy(),
        on=on,
        which=which,
        nodes=np.array([len(run) for run in runs], np.int64),
        ends=np.array([len({i for kind, i in run if kind == ON_ANCHOR}) for run in runs], np.int64),
    )


def hole_kind(layout: Layout, hole: str) -> str:
    """The stitch kind that sets the capacity of ``hole``: a bridge before a mattress before a simple stitch.

    One limb of a side-to-side or transosseous stitch bears like that of a simple stitch: no value of its own is known.
    """
    kinds = {s.kind for s in layout.stitches if hole in s.holes}
    return next((kind for kind in ("bridge", "mattress") if kind in kinds), "simple")
