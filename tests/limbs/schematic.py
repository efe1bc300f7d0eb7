"""The schematic field the counts are held against: four portals, holes on a line, anchors below them."""

from cuffwright.case.fact import Citing
from cuffwright.case.limbs import Carrier, LimbField, LimbPortal, Seat, Span, Suture
from cuffwright.course.limb_rules import limb_rules
from cuffwright.evidence.book import load_book

RULES = limb_rules(Citing(load_book()))
ALL = Span(-99.0, 99.0)

UNEVEN = {
    (3, 3, 2): "12 12 12 23 23 23",
    (4, 4, 2): "12 12 13 23 23 24 34 34",
}
"""Lateral anchors of each bridged suture, so that they take 3, 6, 3 and 3, 5, 5, 3 limbs as in the counts by hand."""


def schematic(medial: int, lateral: int, load: int, *, cut: int = 0, far: int = 0, grasp: int = 2) -> LimbField:
    """``medial`` anchors with ``load`` sutures each, the last ``cut`` of each tied off, ``far`` holes pierced."""
    count = 2 * medial * load
    holes = [-24.0 + 48.0 * k / (count - 1) for k in range(count)]
    edge = holes[count - far] - 0.1 if far else 99.0
    portals = (
        LimbPortal("A", "A", -45, 20, count),
        LimbPortal("L", "L", 0, 50, 6, cannula=True, views=True, seats=ALL, passes=Span(-99.0, edge)),
        LimbPortal("S", "S", 25, 40, count, inserts=ALL),
        LimbPortal("P", "P", 50, 5, 4, views=True, pierces=Span(edge, 99.0) if far else None),
    )
    seats = tuple(Seat(f"L{j + 1}", -24.0 + 48.0 * (j + 0.5) / lateral, 10) for j in range(lateral))
    carriers, sutures = [], []
    for a in range(medial):
        mine = holes[2 * a * load : 2 * (a + 1) * load]
        carriers.append(Carrier(str(a + 1), sum(mine) / len(mine), eyelet=3))
        ends = (seats[max(0, min(a - 1, lateral - 2))].name, seats[min(lateral - 1, a + 1)].name)
        bridged = UNEVEN.get((medial, lateral, load - cut), "").split()
        for k in range(load):
            off = k >= load - cut
            name = f"{a + 1}{'abc'[k]}"
            if bridged and not off:
                ends = tuple(seats[int(n) - 1].name for n in bridged[a * (load - cut) + k])
            ending = "tied and cut" if off else "bridged"
            sutures.append(Suture(name, str(a + 1), mine[2 * k], mine[2 * k + 1], ending, () if off else ends))
    return LimbField(
        portals, tuple(carriers), tuple(sutures), seats, RULES, "P", "A", "S",
        pierce_view="L" if far else "", grasp=grasp, eyelet_line=12.0,
    )  # fmt: skip


def closed_form(field: LimbField, far: int = 0) -> int:
    """The least number of moves of an untouched case with one working cannula, counted by hand."""
    owed = [sum(seat.name in s.seats for s in field.sutures) for seat in field.seats]
    grasps = [-(-n // field.grasp) for n in owed]
    last = min(field.sutures, key=lambda s: s.front or 0.0)
    saved = [
        g - -(-(n - 1) // field.grasp)
        for seat, n, g in zip(field.seats, owed, grasps, strict=True)
        if seat.name in last.seats
    ]
    moves = len(field.carriers) + len(field.seats) + 7 * len(field.sutures) + sum(grasps) - max(saved, default=0)
    return moves - far + 2 + -(-far // field.grasp) if far else moves
