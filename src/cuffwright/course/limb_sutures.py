"""From a laid repair to what limbs need of it: what brings sutures in, each suture's holes and end, lateral anchors.

Sutures are the limbs of one name but for the last letter: ``1aF`` and ``1aB`` are both ends of ``1a``.
"""

from collections.abc import Mapping

from cuffwright.case.layout import TUNNEL, Layout, Stitch
from cuffwright.case.limbs import Carrier, Ending, Look, Seat, Suture


def sutures_of(layout: Layout, looks: Mapping[str, Look], *, slides: bool = True) -> tuple[Suture, ...]:
    """Every suture of a layout; ``looks`` by the suture's name, those of implants opened, others not known."""
    runs: dict[str, list[Stitch]] = {}
    for stitch in layout.stitches:
        runs.setdefault(stitch.holes[0][:-1], []).append(stitch)
    return tuple(_suture(layout, name, stitches, looks.get(name), slides) for name, stitches in runs.items())


def _suture(layout: Layout, name: str, stitches: list[Stitch], look: Look | None, slides: bool) -> Suture:
    passed = {hole for stitch in stitches for hole in stitch.holes}
    front, back = (layout.hole(name + end).u if name + end in passed else None for end in ("F", "B"))
    bridges = {stitch.holes[0][-1]: stitch.to or "" for stitch in stitches if stitch.kind == "bridge"}
    ending: Ending = "tied and cut"
    if bridges:
        ending = "bridged" if all(s.knotted for s in stitches if s.kind == "bridge") else "knotless"
    seats = tuple(bridges.get(end, "") for end in ("F", "B")) if bridges else ()
    return Suture(name, _carrier(stitches[0]), front, back, ending, seats, look, slides)


def _carrier(stitch: Stitch) -> str:
    return stitch.anchor or stitch.holes[0].removesuffix("F").removesuffix("B")


def carriers_of(layout: Layout, eyelets: Mapping[str, int]) -> tuple[Carrier, ...]:
    """Whatever brings sutures in, from the front; ``eyelets`` says how many sutures an anchor admits.

    Anchors of the medial row, or of the only row, and tunnels go in before any limb is passed.
    """
    named = dict.fromkeys(_carrier(stitch) for stitch in layout.stitches)
    anchors = {a.name: a for a in layout.anchors if a.name in named}
    inner = any(a.row == "medial" for a in anchors.values())
    found = [
        Carrier(
            a.name,
            a.u,
            "tunnel" if a.implant == TUNNEL else "anchor",
            a.row == "medial" or not inner,
            eyelets.get(a.name),
        )
        for a in sorted(anchors.values(), key=lambda a: (a.row == "lateral", a.u))
    ]
    for name in named.keys() - anchors.keys():
        holes = [h.u for h in layout.holes if h.name[:-1] == name]
        found.append(Carrier(name, sum(holes) / len(holes), "free suture", first=False))
    return tuple(sorted(found, key=lambda c: (c.kind == "free suture", not c.first, c.at, c.name)))


def seats_of(layout: Layout, load: int) -> tuple[Seat, ...]:
    """The lateral anchors that take bridging limbs, from the front, each with ``load`` limbs at most."""
    taken = {stitch.to for stitch in layout.stitches if stitch.kind == "bridge"}
    found = [Seat(a.name, a.u, load) for a in layout.anchors if a.name in taken]
    return tuple(sorted(found, key=lambda seat: seat.at))
