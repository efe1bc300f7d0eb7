"""Thread a layout into arrays: places of sites on the sheet, capacities, tensions, anchors in space."""

from dataclasses import dataclass, field

import numpy as np

from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.mechanics.limits import limits
from cuffwright.mechanics.net import ON_ANCHOR, STRAP, WRAP, Floats, Net
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.route import Route, route
from cuffwright.mechanics.running import fastening, mates, parts, rubs
from cuffwright.mechanics.sheet import REACH, Sheet, solve_sheet
from cuffwright.mechanics.sheet_bounds import yielding
from cuffwright.mechanics.surroundings import ALONE, Surroundings

INSET = 0.5
"""Numerical choice: wraps and straps sit this far medial of the tendon edge, mm."""

NEAREST = 1.0
"""Numerical choice: a hole moved by scatter stays at least this far medial of the tendon edge, mm."""

STICK = 20.0
"""Numerical choice: friction spring before sliding, N/mm."""

HARD = 0.02
"""Numerical choice: share of bearing stiffness left in a tearing hole."""

BEND = 0.3
"""Numerical choice: rounding of a rope's corner, also the radius of the bone tunnel's edge, mm."""

FLOOR = 0.2
"""Numerical choice: height of a rope on the underside of the tendon, mm."""

UNTEARABLE = 1e9
"""Numerical choice: capacity of a site that cannot tear, N."""

RIDGE = 1e-6
"""Numerical choice: share of the largest site flexibility added to each, so that coinciding sites stay solvable."""


@dataclass(frozen=True, eq=False)
class Woven:
    """A threaded repair: the arrays, the names behind their rows, and what it was threaded from.

    ``points`` (h, 2) and ``posts`` (k, 3) are holes and anchors on the strip's own u, as laid; ``full`` (h) N
    is each hole's capacity far from the edge. ``limbs`` names the ropes, a stitch each. ``around`` is what the
    strip is joined to.
    """

    layout: Layout
    strip: TendonStrip
    parameters: Parameters
    net: Net = field(repr=False)
    sheet: Sheet = field(repr=False)
    route: Route = field(repr=False)
    points: Floats = field(repr=False)
    posts: Floats = field(repr=False)
    full: Floats = field(repr=False)
    around: Surroundings = ALONE

    @property
    def holes(self) -> tuple[str, ...]:
        """Names of the holes; they are the first sites."""
        return self.route.holes

    @property
    def anchors(self) -> tuple[str, ...]:
        """Names of the anchors."""
        return self.route.anchors

    @property
    def limbs(self) -> tuple[str, ...]:
        """Names of the stitches, one rope each."""
        return tuple(stitch.name for stitch in self.layout.stitches)

    @property
    def planned_tension(self) -> Floats:
        """Tension (r) N each suture would be given if tendon and bone bore it."""
        return np.array([self.parameters.tension[fastening(stitch)] for stitch in self.layout.stitches])

    @property
    def cap(self) -> float:
        """Strength (N) of the tendon itself; the repair cannot hold more."""
        return self.parameters.tendon_capacity(self.strip.width)


def weave(layout: Layout, strip: TendonStrip, parameters: Parameters, around: Surroundings = ALONE) -> Woven:
    """Thread ``layout`` through the tendon ``strip``, or the part of it that the layout takes.

    ``around`` says what the strip is joined to and made of across its width.

    Raises
    ------
    OutsideValidity
        When the layout breaks a limit of the model (:func:`limits`), or a hole lies off the strip.
    CaseError
        When a stitch cannot be threaded, a lateral anchor is not lateral, or an implant is unknown.
    """
    strip = layout.on(strip)
    if not (strip.width > 0 and strip.thickness > 0):
        raise CaseError("the tendon strip needs a width and a thickness above 0 mm; measure the tear again")
    stops = limits(layout, strip, parameters)
    if stops:
        raise OutsideValidity("; ".join(stop.text for stop in stops))
    way = route(layout)
    for stitch in layout.stitches:
        if stitch.to and layout.anchor(stitch.to).v <= strip.edge - INSET:
            raise CaseError(f"anchor {stitch.to} takes a bridging limb but is not lateral to the tendon edge; move it")
    points = np.array([(layout.hole(h).u - strip.front, layout.hole(h).v) for h in way.holes])
    posts = np.array([(a.u - strip.front, a.v, a.z) for a in layout.anchors])
    thick = strip.thickness * np.array([around.region_at(u).thickness for u in points[:, 0]])
    full = np.array([parameters.full_bite_capacity(kind, t) for kind, t in zip(way.kinds, thick, strict=True)])
    sheet = solve_sheet(strip.width, strip.edge, strip.thickness, parameters.elastic, around=around)
    sheet.grip(points)
    net = fill(layout, strip, parameters, sheet, way, (points, posts, full), around)
    return Woven(layout, strip, parameters, net, sheet, way, points, posts, full, around)


def fill(
    layout: Layout,
    strip: TendonStrip,
    parameters: Parameters,
    sheet: Sheet,
    way: Route,
    laid: tuple[Floats, Floats, Floats],
    around: Surroundings,
) -> Net:
    """Fill the arrays of a threaded layout; ``laid`` are its points, posts and full capacities."""
    at, tear, anchor = places(way, *laid, strip, parameters)
    grip = sheet.grip(at)
    ride = grip @ sheet.ride
    stiff, swing = yielding(stiffen(grip @ sheet.flex @ grip.T), ride, sheet.bulk, sheet.lead, around.free)
    thick = strip.thickness * np.array([around.region_at(u).thickness for u in at[:, 0]])
    rub = np.array([parameters.rub[rubs(stitch)] for stitch in layout.stitches])
    held = [fastening(stitch) for stitch in layout.stitches]
    hold = np.array([parameters.anchor_hold(a.implant, a.row) for a in layout.anchors])
    hold = hold * parameters.crowded(anchor)
    planned = np.array([parameters.tension[h] for h in held])
    each = np.ones(at.shape[0])
    return Net(
        kind=way.kind,
        at=at,
        bearing=each * parameters.bearing,
        tear=tear,
        loss=each * parameters.slot,
        press=each * parameters.press,
        thick=thick,
        stiffness=stiff,
        edge=grip @ sheet.edge,
        on=way.on,
        which=way.which,
        nodes=way.nodes,
        tension=bearable(way, planned, tear, hold, parameters.tension_limit),
        give=np.array([parameters.give[h] for h in held]) + parameters.anchor_give * way.ends,
        strength=np.array([parameters.strength[h] for h in held]),
        stage=np.array([stitch.stage for stitch in layout.stitches], np.int64),
        anchor=anchor,
        hold=hold,
        thread=parameters.thread,
        friction=parameters.friction,
        stick=STICK,
        hard=HARD,
        bend=BEND,
        floor=FLOOR,
        preload=parameters.preload,
        part=parts(way, rub),
        rub=rub,
        carry=np.ascontiguousarray(ride[:, 0]),
        own=float(sheet.bulk[0, 0]),
        lead=float(sheet.lead[0]),
        swing=swing,
        mate=mates(layout),
        eyelet=parameters.rub["eyelet"],
    )


def bearable(way: Route, planned: Floats, tear: Floats, hold: Floats, limit: float) -> Floats:
    """Tensions (..., r) N, lowered where a hole or a lateral anchor would carry more than ``limit`` of its strength.

    A loop pulls twice at its hole, a bridging limb once; the limbs that end in one anchor share it. ``planned``
    (..., r), ``tear`` (..., n) and ``hold`` (..., k) may carry draws in front.
    """
    tension = planned.copy()
    inside = np.arange(way.on.shape[1])[None, :] < way.nodes[:, None]
    bridges = way.on[np.arange(way.nodes.size), way.nodes - 1] == ON_ANCHOR
    bridges &= way.kind[way.which[np.arange(way.nodes.size), way.nodes - 2]] == STRAP
    for rope in range(way.nodes.size):
        sites = np.unique(way.which[rope, inside[rope] & (way.on[rope] != ON_ANCHOR)])
        weakest = tear[..., sites].min(axis=-1)
        bears = weakest if bridges[rope] else 0.5 * weakest
        if bridges[rope]:
            end = way.which[rope, way.nodes[rope] - 1]
            beside = sum(int(way.which[r, way.nodes[r] - 1] == end) for r in np.flatnonzero(bridges))
            bears = np.minimum(bears, hold[..., end] / beside)
        tension[..., rope] = np.minimum(tension[..., rope], limit * bears)
    return tension


def stiffen(flexibility: Floats) -> Floats:
    """Symmetric stiffness (2n, 2n) N/mm from site flexibility (2n, 2n) mm/N."""
    ridge = RIDGE * flexibility.max() * np.eye(flexibility.shape[0])
    inverse = np.linalg.inv(flexibility + ridge)
    return np.ascontiguousarray(0.5 * (inverse + inverse.T))


def places(
    way: Route, points: Floats, posts: Floats, full: Floats, strip: TendonStrip, parameters: Parameters
) -> tuple[Floats, Floats, Floats]:
    """Sites (..., n, 2) on the sheet, capacities (..., n) N and anchors (..., k, 3) in space, mm.

    ``points`` (..., h, 2) and ``posts`` (..., k, 3) may carry draws in front; ``full`` (..., h) N. Points are
    kept on the sheet. An anchor lateral of the tendon edge lies down the wall by its arc length. A strap sits
    where the straight line from hole to lateral anchor, seen from above, crosses the tendon edge.
    """
    points = np.stack(
        (
            np.clip(points[..., 0], 0.0, strip.width),
            np.clip(points[..., 1], REACH, strip.edge - NEAREST),
        ),
        axis=-1,
    )
    anchor = fold(posts, strip.edge, np.deg2rad(parameters.wall_degrees))
    at = points[..., way.hole, :].copy()
    line = strip.edge - INSET
    at[..., way.kind == WRAP, 1] = line
    straps = way.kind == STRAP
    start, end = points[..., way.hole[straps], :], anchor[..., way.anchor[straps], :]
    share = (line - start[..., 1]) / (end[..., 1] - start[..., 1])
    at[..., straps, 0] = np.clip(start[..., 0] + share * (end[..., 0] - start[..., 0]), 0.0, strip.width)
    at[..., straps, 1] = line
    tear = np.full(at.shape[:-1], UNTEARABLE)
    tear[..., : points.shape[-2]] = full * parameters.bite_share(strip.edge - points[..., 1])
    return at, tear, anchor


def fold(posts: Floats, edge: float, wall: float) -> Floats:
    """Anchors (..., k, 3) in space: chart places beyond ``edge`` follow a wall falling by ``wall`` radians."""
    beyond = np.maximum(posts[..., 1] - edge, 0.0)
    fall = np.where(beyond > 0.0, wall, 0.0)
    v = posts[..., 1] - beyond + beyond * np.cos(fall) + posts[..., 2] * np.sin(fall)
    z = posts[..., 2] * np.cos(fall) - beyond * np.sin(fall)
    return np.stack((posts[..., 0], v, z), axis=-1)
