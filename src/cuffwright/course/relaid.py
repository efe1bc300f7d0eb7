"""The layout after a mishap changed its limbs: what is lost goes, what is new stands like what it replaces."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count

from cuffwright.case.layout import TUNNEL, Anchor, Hole, Layout, Stitch
from cuffwright.case.limbs import Carrier, LimbField, LimbState, Suture


def relaid(layout: Layout, before: LimbField, after: LimbField) -> Layout:
    """The layout that a changed field means, with everything that was ever laid.

    Parameters
    ----------
    layout
        Everything laid before the mishap, lost or not.
    before, after
        The field before and after it.

    Places along the tear come from the field; across it, and in depth, what is new stands where its like stood.
    """
    known = {suture.name for suture in before.sutures}
    new = [suture for suture in after.sutures if suture.name not in known]
    for carrier in (c for c in after.carriers if c.name not in {old.name for old in before.carriers}):
        layout = _with_carrier(layout, before, after, carrier, [s for s in new if s.carrier == carrier.name])
    return _moved(layout, after)


def _with_carrier(layout: Layout, before: LimbField, after: LimbField, new: Carrier, brought: list[Suture]) -> Layout:
    """With a new anchor and its sutures, strung like the anchor whose holes lie to it as the new ones do."""
    like = min(before.carriers, key=lambda c: (_unlike(before, c, new, brought), abs(c.at - new.at), c.name))
    old = [s for s in before.sutures if s.carrier == like.name]
    anchors, mouths = [*layout.anchors], _mouths(layout, after, like, new)
    if any(a.name == like.name for a in layout.anchors):
        anchors.append(replace(layout.anchor(like.name), name=new.name, u=new.at))
    anchors += mouths.values()
    for seat in (seat for seat in after.seats if seat.name not in {a.name for a in layout.anchors}):
        near = min((s for s in before.seats), key=lambda s: (abs(s.at - seat.at), s.name))
        anchors.append(replace(layout.anchor(near.name), name=seat.name, u=seat.at))
    holes, stitches = [*layout.holes], [*layout.stitches]
    for suture in brought:
        twin = min(old, key=lambda s: (_apart(s, suture, new.at - like.at), s.name))
        for end, at in (("F", suture.front), ("B", suture.back)):
            if at is not None:
                holes.append(replace(layout.hole(twin.name + end), name=suture.name + end, u=at))
        stitches += _strung(layout, twin, suture, new.name, {to: mouth.name for to, mouth in mouths.items()})
    return replace(layout, anchors=tuple(anchors), holes=tuple(holes), stitches=tuple(stitches), edited=True)


def _unlike(before: LimbField, like: Carrier, new: Carrier, brought: Iterable[Suture]) -> float:
    """How far the holes of the new sutures lie from those of this anchor moved to the new place, in mm."""
    old = [s for s in before.sutures if s.carrier == like.name]
    if not old or like.kind != new.kind:
        return float("inf")
    return sum(min(_apart(s, suture, new.at - like.at) for s in old) for suture in brought)


def _apart(old: Suture, new: Suture, shift: float) -> float:
    apart = 0.0
    for one, two in ((old.front, new.front), (old.back, new.back)):
        if (one is None) != (two is None):
            return float("inf")
        apart += abs(two - one - shift) if one is not None and two is not None else 0.0
    return apart


def _mouths(layout: Layout, after: LimbField, like: Carrier, new: Carrier) -> dict[str, Anchor]:
    """The mouth on the wall of a new bone tunnel, by the one it is like; none for an anchor."""
    tos = {s.to for s in layout.stitches if s.anchor == like.name and s.kind == "transosseous" and s.to}
    taken = {a.name for a in layout.anchors} | {s.name for s in after.seats}
    found: dict[str, Anchor] = {}
    for to in sorted(tos):
        name = next(f"L{k}" for k in count(1) if f"L{k}" not in taken)
        taken.add(name)
        found[to] = replace(layout.anchor(to), name=name, u=layout.anchor(to).u + new.at - like.at, implant=TUNNEL)
    return found


def _strung(layout: Layout, twin: Suture, suture: Suture, anchor: str, mouths: dict[str, str]) -> Iterator[Stitch]:
    for stitch in (s for s in layout.stitches if s.holes[0][:-1] == twin.name):
        limbs = tuple(suture.name + hole[-1] for hole in stitch.holes)
        source = anchor if stitch.anchor else ""
        if stitch.kind != "bridge":
            yield replace(stitch, anchor=source, holes=limbs, to=mouths.get(stitch.to or "", stitch.to))
            continue
        to = suture.seats["FB".index(limbs[0][-1])] if suture.seats else ""
        if to:
            yield replace(stitch, anchor=source, holes=limbs, to=to)


def _moved(layout: Layout, field: LimbField) -> Layout:
    """Holes, anchors and lateral anchors where the field has them along the tear."""
    places = {c.name: c.at for c in field.carriers} | {s.name: s.at for s in field.seats}
    ends = {limb: at for s in field.sutures for limb, at in zip(s.limbs, (s.front, s.back), strict=True)}
    anchors = tuple(_at(anchor, places.get(anchor.name)) for anchor in layout.anchors)
    return replace(layout, anchors=anchors, holes=tuple(_hole_at(hole, ends.get(hole.name)) for hole in layout.holes))


def _at(anchor: Anchor, u: float | None) -> Anchor:
    return anchor if u is None or u == anchor.u else replace(anchor, u=u)


def _hole_at(hole: Hole, u: float | None) -> Hole:
    return hole if u is None or u == hole.u else replace(hole, u=u)


def less_removed(layout: Layout, state: LimbState) -> Layout:
    """The layout without stitches of limbs that are removed, and without anchors that nothing is strung to any more."""
    gone = {limb.limb for limb in state.limbs if limb.stage == "removed"}
    stitches = tuple(s for s in layout.stitches if not gone & set(s.holes))
    strung = {end for s in layout.stitches for end in (s.anchor, s.to)}
    left = {end for s in stitches for end in (s.anchor, s.to)}
    anchors = tuple(a for a in layout.anchors if a.name in left or a.name not in strung)
    held = {hole for s in stitches for hole in s.holes}
    return replace(layout, anchors=anchors, holes=tuple(h for h in layout.holes if h.name in held), stitches=stitches)
