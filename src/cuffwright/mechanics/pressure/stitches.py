"""A layout's stitches as the stretches of rope that lie on top of the tendon."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Layout, Stitch, TendonStrip
from cuffwright.mechanics.pressure.parameters import ContactParameters
from cuffwright.mechanics.pressure.span import Span, SpanKind

Point = tuple[float, float]


@dataclass(frozen=True)
class EdgeExit:
    """How a bridging limb leaves the tendon.

    ``degrees`` below the tendon's surface at its lateral edge, from the path to the lateral anchor;
    ``curvature`` of the footprint along the limb, 1/mm.
    """

    degrees: float
    curvature: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= math.radians(self.degrees) <= math.pi / 2:
            raise CaseError(f"a limb leaves the tendon edge at {self.degrees} degrees; give 0 to 90")


def spans_of(
    layout: Layout,
    strip: TendonStrip,
    tension: Mapping[str, float],
    exits: Mapping[str, EdgeExit] | EdgeExit,
    parameters: ContactParameters,
) -> tuple[Span, ...]:
    """Top spans of every stitch of ``layout`` in the sheet of ``strip``, tensions scaled for the pressure map.

    A mattress lies between its two holes and a simple stitch runs from its hole straight to the edge and loops
    round it; both legs go straight down. A bridging limb runs from its hole to the tendon edge on the line to its
    lateral anchor, and starts nearly unloaded at the knot when knotted; a transosseous stitch lies like a bridging
    limb that slides through its hole. A side-to-side stitch closes under the tendon and presses nothing on the bone.

    Parameters
    ----------
    layout, strip
        The repair and its tendon, in chart mm.
    tension
        Tension (N) of every stitch by its name, before scaling; at tying or under load.
    exits
        Exit of the bridging limbs at the edge, one for all or by stitch name.
    parameters
        Scales, start factors and rope width from facts.

    Raises
    ------
    CaseError
        When a tension or an exit is missing, or a limb cannot lie on the strip.
    """
    strip = layout.on(strip)
    spans: list[Span] = []
    for stitch in layout.stitches:
        if stitch.name not in tension:
            raise CaseError(f"the tension of stitch {stitch.name} is missing; give it in newtons")
        points = [_on_sheet(layout, strip, hole) for hole in stitch.holes]
        if stitch.kind == "side-to-side":
            continue
        if stitch.kind == "bridge" or stitch.to is not None:
            leaves = exits if isinstance(exits, EdgeExit) else exits.get(stitch.name)
            if leaves is None:
                raise CaseError(f"the angle at which limb {stitch.name} leaves the edge is missing; give it in degrees")
            spans.append(_bridge(layout, strip, stitch, points, tension[stitch.name], leaves, parameters))
        else:
            pull = tension[stitch.name] * parameters.scale_knot
            spans.append(_tied(strip, stitch, points, pull, parameters.spread))
    return tuple(spans)


def _on_sheet(layout: Layout, strip: TendonStrip, name: str) -> Point:
    hole = layout.hole(name)
    u = hole.u - strip.front
    if not (0 <= u <= strip.width and hole.v < strip.edge):
        raise CaseError(f"the hole of limb {name} is not in the torn tendon; move it into the strip")
    return u, hole.v


def _tied(strip: TendonStrip, stitch: Stitch, points: list[Point], pull: float, spread: float) -> Span:
    """A mattress or a simple stitch."""
    wanted = 2 if stitch.kind == "mattress" else 1
    if len(points) != wanted:
        raise CaseError(f"stitch {stitch.name} is a {stitch.kind} and passes {len(points)} holes; it needs {wanted}")
    end = points[1] if stitch.kind == "mattress" else (points[0][0], strip.edge)
    kind: SpanKind = "mattress" if stitch.kind == "mattress" else "simple"
    return Span(stitch.name, kind, points[0], end, pull, 1.0, 1.0, 0.0, spread)


def _bridge(
    layout: Layout,
    strip: TendonStrip,
    stitch: Stitch,
    points: list[Point],
    tension: float,
    leaves: EdgeExit,
    parameters: ContactParameters,
) -> Span:
    """The limb over the tendon, cut where it leaves the strip."""
    if stitch.to is None or len(points) != 1:
        raise CaseError(f"bridging limb {stitch.name} needs one hole and one lateral anchor")
    (u, v), anchor = points[0], layout.anchor(stitch.to)
    if anchor.v <= strip.edge:
        raise CaseError(
            f"anchor {anchor.name} does not lie lateral to the tendon edge; limb {stitch.name} cannot bridge"
        )
    across, along = anchor.u - strip.front - u, anchor.v - v
    share = (strip.edge - v) / along
    if across:
        share = min(share, ((strip.width if across > 0 else 0) - u) / across)
    end = (min(max(u + share * across, 0.0), strip.width), min(v + share * along, strip.edge))
    bridges = stitch.kind == "bridge"
    start_factor = parameters.start_knotted if bridges and stitch.knotted else parameters.start_sliding
    return Span(
        stitch.name,
        "bridge",
        (u, v),
        end,
        tension * (parameters.scale_limb if bridges else parameters.scale_knot),
        start_factor,
        math.sin(math.radians(leaves.degrees)),
        leaves.curvature,
        parameters.spread,
    )
