"""Set-ups that several pressure tests share: the layer and parameters from the rows, and three known repairs."""

import math

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.pressure.contact import contact_map
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.footprint import Footprint
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.parameters import ContactParameters
from cuffwright.mechanics.pressure.shelf import PressureShelf
from cuffwright.mechanics.pressure.span import Span

BOOK = Citing(load_book())
PARAMETERS = ContactParameters.from_facts(BOOK)
SHELF = PressureShelf()


def layer(thickness=5.0):
    """The layer of the rows."""
    return LayerProperties.from_facts(BOOK, thickness)


def rope(start, end, tension=8.0, start_factor=1.0, end_factor=0.9, curvature=0.0, name=None, kind="bridge"):
    """A span with the width of the rows."""
    name = name or f"{start}>{end}"
    return Span(name, kind, start, end, tension, start_factor, end_factor, curvature, PARAMETERS.spread)


THREE_GRID = Grid(16.0, -8.0, 10.0, 32, 36)
THREE_WINDOW = Footprint(0.0, 16.0, 0.0, 10.0)
THREE_ROPES = (
    rope((4.0, 0.0), (4.0, 10.0), name="straight"),
    rope((4.0, 0.0), (12.0, 10.0), name="slanted"),
    rope((9.0, 1.0), (14.0, 1.0), 5.0, 1.0, 1.0, name="mattress", kind="mattress"),
)


def mapped(spans, grid=THREE_GRID, window=THREE_WINDOW, material=None, **more):
    """The contact map of ``spans`` with the parameters of the rows."""
    return contact_map(spans, grid, material or layer(), window, PARAMETERS, SHELF, **more)


# The film study gives neither hole positions nor tensions; these are assumed: medial anchors 8 mm apart under
# 1 mm of footprint, mattress holes 2 mm to either side, lateral anchors 3 mm beyond the edge, exit 65 degrees.
FILM_GRID = Grid.over(20.0, 12.0)
FILM_WINDOW = Footprint(10 - 20 / 3, 10 + 20 / 3, 0.0, 12.0)
KNOT, LIMB = 15.0, 20.0
# Limbs fixed later tighten the medial stitches before them: N by number of limbs, as the mechanics ties them. For six
# limbs, which no bench has, at least as tight as under four.
TIGHTENED = {2: 16.6, 4: 20.7, 6: 20.7}


def film_row(tension=KNOT):
    """Two medial mattress stitches."""
    pull = tension * PARAMETERS.scale_knot
    return [rope((u - 2, 1.0), (u + 2, 1.0), pull, 1.0, 1.0, kind="mattress") for u in (6.0, 14.0)]


def film_limb(hole_u, anchor_u, tension=LIMB):
    """A knotted bridging limb from its hole at v 1 towards an anchor at v 15, cut at the edge, v 12."""
    end = hole_u + (12 - 1) / (15 - 1) * (anchor_u - hole_u)
    pull = tension * PARAMETERS.scale_limb
    return rope((hole_u, 1.0), (end, 12.0), pull, PARAMETERS.start_knotted, math.sin(math.radians(65)))


def film_bridge(limbs, tension=LIMB):
    """Bridging repair with 2 limbs (one lateral anchor), 4 (two) or 6 (three)."""
    crossed = {
        2: [(8, 10), (12, 10)],
        4: [(4, 6), (8, 14), (12, 6), (16, 14)],
        6: [(4, 6), (8, 14), (12, 6), (16, 14), (8, 10), (12, 10)],
    }[limbs]
    return film_row(TIGHTENED[limbs]) + [film_limb(float(a), float(b), tension) for a, b in crossed]


def film_double_row():
    """Medial mattress stitches and one simple stitch per lateral anchor, its hole 6 mm from the edge."""
    pull = KNOT * PARAMETERS.scale_knot
    return film_row() + [rope((u, 6.0), (u, 12.0), pull, 1.0, 1.0, kind="simple") for u in (6.0, 14.0)]
