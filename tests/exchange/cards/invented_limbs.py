"""Invented fields of limbs: m medial and l lateral anchors, each medial one with so many sutures."""

from dataclasses import replace

from cuffwright.case.fact import Citing
from cuffwright.case.limbs import (
    Carrier,
    LimbAt,
    LimbField,
    LimbPortal,
    LimbState,
    Look,
    Seat,
    Span,
    Suture,
)
from cuffwright.course.limb_rules import limb_rules
from cuffwright.evidence.book import load_book

EVERYWHERE = Span(-99, 99)
COLOURS = ("orange", "sky blue", "green", "yellow", "blue", "vermilion", "purple", "black")
PATTERNS = ("solid", "tracer", "dashed")


def rules():
    """The rule table."""
    return limb_rules(Citing(load_book()))


def field(medial, lateral, load, *, looks=False):
    """A bridging repair: ``medial`` anchors with ``load`` sutures each, ``lateral`` anchors."""
    count = medial * load * 2
    holes = [-24 + 48 * k / (count - 1) for k in range(count)]
    portals = (
        LimbPortal("anterior", "A", -45, 20, count),
        LimbPortal("lateral", "L", 0, 50, 6, cannula=True, views=True, seats=EVERYWHERE, passes=EVERYWHERE),
        LimbPortal("accessory superolateral", "AS", 25, 40, count, inserts=EVERYWHERE),
        LimbPortal("posterior", "P", 50, 5, 4, views=True),
    )
    seats = tuple(Seat(f"L{j + 1}", -24 + 48 * (j + 0.5) / lateral, 10) for j in range(lateral))
    carriers, sutures = [], []
    for a in range(medial):
        mine = holes[a * 2 * load : (a + 1) * 2 * load]
        carriers.append(Carrier(str(a + 1), sum(mine) / len(mine)))
        ends = (max(0, a - 1), min(lateral - 1, a + 1)) if lateral > 2 else (0, 1)
        pair = (seats[ends[0]].name, seats[ends[1]].name)
        for k in range(load):
            name = f"{a + 1}{'abc'[k]}"
            sutures.append(Suture(name, str(a + 1), mine[2 * k], mine[2 * k + 1], "bridged", pair))
    one = LimbField(portals, tuple(carriers), tuple(sutures), seats, rules(), "P", "A", "AS", eyelet_line=12.0)
    return looked(one) if looks else one


def looked(one):
    """The same field with threads of known look, all different."""
    looks = [Look(colour, pattern) for colour in COLOURS for pattern in PATTERNS]
    return replace(one, sutures=tuple(replace(s, look=look) for s, look in zip(one.sutures, looks, strict=False)))


def start(one):
    """Nothing in yet."""
    limbs = tuple(LimbAt(limb, "outside") for suture in one.sutures for limb in suture.limbs)
    return LimbState(limbs, one.scope, one.compartment, tuple(p.name for p in one.portals if p.cannula))
