"""A repair changed by hand, limb by limb: what goes with what when one is added, taken away or run elsewhere."""

from dataclasses import replace
from math import dist
from string import ascii_lowercase

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Anchor, Hole, Layout, Row, Stitch, TendonStrip
from cuffwright.repair.laying.stitches import half_spread, simple_bite

SIDES = "FB"
"""The ends of limb names: front and back hole."""


def new_anchor_name(layout: Layout, row: Row) -> str:
    """The next free name of a row: numbers, with ``L`` where a lateral row stands beside another."""
    beside = row == "lateral" and any(anchor.row == "medial" for anchor in layout.anchors)
    taken = {anchor.name for anchor in layout.anchors}
    number = 1
    while (name := f"{'L' if beside else ''}{number}") in taken:
        number += 1
    return name


def with_anchor(layout: Layout, anchor: Anchor) -> Layout:
    """The layout with one more anchor, as yet without a limb."""
    return _edited(layout, anchors=(*layout.anchors, anchor))


def without_anchor(layout: Layout, name: str) -> Layout:
    """The layout without an anchor, the stitches that run to it, and the holes only they passed.

    Raises
    ------
    CaseError
        When there is no such anchor, or it is the last one.
    """
    layout.anchor(name)
    if len(layout.anchors) == 1:
        raise CaseError(f"anchor {name} is the last one; choose another pattern instead")
    stitches = tuple(s for s in layout.stitches if name not in (s.anchor, s.to))
    return _edited(layout, anchors=tuple(a for a in layout.anchors if a.name != name), stitches=stitches)


def with_stitch(layout: Layout, strip: TendonStrip, facts: Citing, anchor: str, kind: str) -> Layout:
    """The layout with one more suture at ``anchor``, ``simple`` or ``mattress``, clear of the holes there are.

    Raises
    ------
    CaseError
        When there is no such anchor or kind, or no letter is left to name the suture.
    """
    post = layout.anchor(anchor)
    letter = _letter(layout, anchor)
    if kind == "mattress":
        half = half_spread(strip, facts, "pattern.mattress.half-spread")
        spots = [
            Hole(f"{anchor}{letter}{side}", post.u + way * half, post.v)
            for side, way in zip(SIDES, (-1, 1), strict=True)
        ]
        stitch = Stitch("mattress", anchor, tuple(hole.name for hole in spots), stage=0)
    elif kind == "simple":
        spots = [Hole(f"{anchor}{letter}F", post.u, simple_bite(strip, facts))]
        stitch = Stitch("simple", anchor, (spots[0].name,), stage=0)
    else:
        raise CaseError(f"a suture at an anchor is simple or mattress, not {kind}; choose one of the two")
    return _edited(
        layout,
        holes=(*layout.holes, *_clear(layout, strip, facts, spots)),
        stitches=(*layout.stitches, stitch),
    )


def without_limb(layout: Layout, name: str) -> Layout:
    """The layout without the stitches that pass hole ``name``, and the holes only they passed; raises CaseError."""
    layout.hole(name)
    return _edited(layout, stitches=tuple(s for s in layout.stitches if name not in s.holes))


def routed(layout: Layout, name: str, to: str | None) -> Layout:
    """The limb through hole ``name`` run over the tendon to the lateral anchor ``to``, or no longer when None.

    A limb that is tied at its hole starts at the knot; one that is not slides from its own anchor.

    Raises
    ------
    CaseError
        When there is no such limb or anchor, or the limb would pass nothing any more.
    """
    layout.hole(name)
    here = [s for s in layout.stitches if name in s.holes]
    tied = [s for s in here if s.kind in {"mattress", "simple"}]
    others = tuple(s for s in layout.stitches if not (s.kind == "bridge" and name in s.holes))
    if to is None:
        if not tied:
            raise CaseError(f"limb {name} would be held by nothing; remove it, or tie its anchor's suture first")
        return _edited(layout, stitches=others)
    if layout.anchor(to).row != "lateral":
        raise CaseError(f"limb {name} cannot run to anchor {to}, which is not in the lateral row; choose another")
    home = next((s.anchor for s in here if s.anchor), "")
    if not home or any(s.kind == "transosseous" for s in here):
        raise CaseError(f"limb {name} runs through no anchor of its own, so it cannot be run to {to}")
    if home == to:
        raise CaseError(f"limb {name} comes from anchor {to} itself; run it to another one")
    return _edited(layout, stitches=(*others, Stitch("bridge", home, (name,), 1, bool(tied), to)))


def restitched(layout: Layout, anchor: str, kind: str) -> Layout:
    """All sutures of ``anchor`` made ``mattress``, ``simple`` or ``knotless``; limbs keep where they run on.

    Raises
    ------
    CaseError
        When there is no such anchor, it has no limb, or the kind cannot be made of the limbs it has.
    """
    layout.anchor(anchor)
    own = [s for s in layout.stitches if s.anchor == anchor and s.kind in {"mattress", "simple", "bridge"}]
    names = tuple(hole.name for hole in layout.holes if any(hole.name in s.holes for s in own))
    if not names:
        raise CaseError(f"anchor {anchor} carries no limb that could be tied otherwise; add one first")
    bridges = tuple(replace(s, knotted=kind != "knotless") for s in own if s.kind == "bridge")
    rest = tuple(s for s in layout.stitches if s not in own)
    return _edited(layout, stitches=(*rest, *_tied(anchor, names, bridges, kind), *bridges))


def with_implant(layout: Layout, anchor: str, implant: str) -> Layout:
    """The layout with another implant in one anchor's place; raises CaseError when there is no such anchor."""
    return layout.with_anchor(replace(layout.anchor(anchor), implant=implant))


def _tied(anchor: str, names: tuple[str, ...], bridges: tuple[Stitch, ...], kind: str) -> tuple[Stitch, ...]:
    if kind == "simple":
        return tuple(Stitch("simple", anchor, (name,), 0) for name in names)
    if kind == "knotless":
        lost = next((name for name in names if not any(name in s.holes for s in bridges)), None)
        if lost:
            raise CaseError(f"limb {lost} runs nowhere without its knot; run it to a lateral anchor first")
        return ()
    if kind != "mattress":
        raise CaseError(f"sutures are mattress, simple or knotless, not {kind}; choose one of the three")
    if len(names) % 2:
        raise CaseError(f"anchor {anchor} has {len(names)} limbs, and a mattress stitch takes two; add or remove one")
    pairs = zip(names[::2], names[1::2], strict=True)
    return tuple(Stitch("mattress", anchor, pair, 0) for pair in pairs)


def _letter(layout: Layout, anchor: str) -> str:
    taken = {hole.name for hole in layout.holes}
    for letter in ascii_lowercase:
        if not any(f"{anchor}{letter}{side}" in taken for side in SIDES):
            return letter
    raise CaseError(f"anchor {anchor} has as many sutures as there are letters; remove one first")


def _clear(layout: Layout, strip: TendonStrip, facts: Citing, spots: list[Hole]) -> tuple[Hole, ...]:
    """The holes inside the torn tendon, and moved medially as long as one stands too close to one there is."""
    least, rim = facts.number("limit.neighbour"), facts.number("limit.neighbour") / 2
    held = layout.on(strip)
    low, high = held.front + rim, held.front + held.width - rim
    edge = held.edge - facts.number("limit.edge")
    by = max(0.0, low - min(hole.u for hole in spots)) - max(0.0, max(hole.u for hole in spots) - high)
    moved = [replace(hole, u=hole.u + by, v=min(hole.v, edge)) for hole in spots]
    while any(dist((a.u, a.v), (b.u, b.v)) <= least for a in moved for b in layout.holes):
        moved = [replace(hole, v=hole.v - least) for hole in moved]
    return tuple(moved)


def _edited(
    layout: Layout,
    *,
    anchors: tuple[Anchor, ...] | None = None,
    holes: tuple[Hole, ...] | None = None,
    stitches: tuple[Stitch, ...] | None = None,
) -> Layout:
    """The layout with other parts, and without the holes that nothing passes any more."""
    runs = layout.stitches if stitches is None else stitches
    if not runs:
        raise CaseError("the repair would hold nothing; choose another pattern instead")
    used = {name for stitch in runs for name in stitch.holes}
    kept = tuple(hole for hole in holes or layout.holes if hole.name in used)
    return replace(layout, anchors=anchors or layout.anchors, holes=kept, stitches=_staged(runs), edited=True)


def _staged(stitches: tuple[Stitch, ...]) -> tuple[Stitch, ...]:
    """Bridging limbs are fixed after the knots of two anchors or more; a lone knot cannot hold the tendon for them."""
    knots = {s.anchor for s in stitches if s.anchor and s.kind != "bridge"}
    after = int(len(knots) >= 2)
    return tuple(replace(s, stage=after) if s.kind == "bridge" else s for s in stitches)
