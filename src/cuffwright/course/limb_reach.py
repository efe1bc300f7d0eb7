"""What each portal reaches along the tear, as intervals, and the order of portals from the front: from access."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.portals import default_places, edited
from cuffwright.access.posing import stand
from cuffwright.access.sites import Site, sites_of
from cuffwright.access.table import choose, set_scene
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.case.limbs import Span
from cuffwright.case.reach import USUAL, Approach, Pose
from cuffwright.course.prepared import Prepared
from cuffwright.course.reaching import gear_of

Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class PortalReach:
    """What one portal reaches, as spans (chart u, mm): anchors with sutures, holes by passer or tip, lateral anchors.

    ``backwards`` is how far behind the middle of all sites it pierces the skin (mm); ``poses`` the arm position in
    which each site is reached from it, by the site's name.
    """

    name: str
    backwards: float
    inserts: Span | None
    passes: Span | None
    pierces: Span | None
    seats: Span | None
    poses: dict[str, Pose]


def portal_reach(prepared: Prepared, layout: Layout, approach: Approach = USUAL) -> tuple[PortalReach, ...]:
    """Reach of every portal, from the front; a span runs over neighbouring sites that are all reached.

    Raises
    ------
    EvidenceError
        When an implant has no size in the rows.
    CaseError
        When there is no portal of a name in the approach.
    """
    facts = Citing(prepared.book)
    gear = gear_of(facts)
    places = default_places(facts)
    for place in approach.portals:
        places = edited(places, place)
    sites = sites_of(layout, prepared.strip, gear.tools, facts)
    scene = set_scene(prepared.shoulder.mean, sites, places, gear)
    poses = gear.posing.tried(approach.arm or gear.posing.usual["beach chair"])
    paths = scene.paths(poses)
    chosen = choose(paths, poses).at
    stance = stand(scene.shoulder, poses[:1], gear.posing.give)
    middle = float(stance.points(scene.spots.points)[0, :, 0].mean())
    holes = frozenset(hole.name for hole in layout.holes)
    end = frozenset(stitch.to for stitch in layout.stitches if stitch.kind == "bridge" and stitch.to)
    bring = frozenset(stitch.anchor for stitch in layout.stitches if stitch.anchor)
    found = []
    for k, place in enumerate(places):
        at = chosen[k]
        bent = paths.curved[np.maximum(at, 0), k, np.arange(len(sites))]
        found.append(
            PortalReach(
                place.name,
                middle - float(scene.skins[k][0]),
                _span(sites, at >= 0, bring),
                _span(sites, (at >= 0) & ~bent, holes),
                _span(sites, at >= 0, holes),
                _span(sites, at >= 0, end),
                {site.name: poses[int(at[t])] for t, site in enumerate(sites) if at[t] >= 0},
            )
        )
    return tuple(sorted(found, key=lambda one: one.backwards))


def _span(sites: tuple[Site, ...], reached: Bools, names: frozenset[str]) -> Span | None:
    """From the first to the last of the longest run of neighbouring sites that are all reached; None for none."""
    row = sorted((site.u, bool(ok)) for site, ok in zip(sites, reached, strict=True) if site.name in names)
    runs: list[list[float]] = [[]]
    for u, ok in row:
        if ok:
            runs[-1].append(u)
        elif runs[-1]:
            runs.append([])
    best = max(runs, key=len)
    return Span(best[0], best[-1]) if best else None
