"""What puts a layout outside the model before anything is computed."""

import math
from collections.abc import Iterator
from itertools import combinations

from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.case.quantity import Caution
from cuffwright.mechanics.parameters import Parameters

UNTIED = (
    "nothing holds the tendon against the muscle while these sutures are tied, so the repair cannot be computed; "
    "add a stitch that runs back to its own anchor, or tie the stitches in another order"
)


def limits(layout: Layout, strip: TendonStrip, parameters: Parameters) -> tuple[Caution, ...]:
    """Every broken limit as a caution of severity ``stop``: few anchors, a hole near the edge, holes too close."""
    return tuple(broken(layout, strip, parameters))


def broken(layout: Layout, strip: TendonStrip, parameters: Parameters) -> Iterator[Caution]:
    """Yield the broken limits one by one."""
    if len({end for s in layout.stitches for end in (s.anchor, s.to) if end}) < 2:
        yield Caution("few-anchors", "fewer than 2 anchors carry a suture; add one", severity="stop")
    sewn = [h for h in layout.holes if any(h.name in s.holes for s in layout.stitches)]
    for hole in sewn:
        if strip.edge - hole.v < parameters.edge_limit:
            text = f"limb {hole.name} passes {strip.edge - hole.v:.1f} mm from the tendon edge; keep it"
            yield Caution(
                "edge-distance", f"{text} {parameters.edge_limit:g} mm or more away", hole.name, "stop", "limit.edge"
            )
    for one, two in combinations(sewn, 2):
        apart = math.hypot(one.u - two.u, one.v - two.v)
        if apart < parameters.neighbour_limit:
            text = f"limbs {one.name} and {two.name} pass {apart:.1f} mm apart; keep them"
            yield Caution(
                "hole-distance",
                f"{text} {parameters.neighbour_limit:g} mm or more apart",
                two.name,
                "stop",
                "limit.neighbour",
            )
