"""What each portal reaches along the tear, and the order of portals from the front: from access."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from cuffwright.access.posing import stand
from cuffwright.access.sites import Site, sites_of
from cuffwright.access.table import choose, set_scene
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.case.limbs import Span
from cuffwright.case.reach import USUAL, Approach, Pose
from cuffwright.course.prepared import Prepared
from cuffwright.course.reaching import gear_of, portals_of

Task = Literal["insert", "hole", "seat"]

PROBES = 9
"""Numerical choice: places along the tear where reach is asked for anchors and holes that a mishap may bring."""

NEAR = 0.01
"""Numerical choice: sites closer than this along the tear (mm) count as one place."""


@dataclass(frozen=True)
class PortalReach:
    """What one portal reaches: the arm position for each site by its name, and the sites a straight tool reaches.

    ``backwards`` is how far along the tear it pierces the skin, in the chart's u (mm).
    """

    name: str
    backwards: float
    poses: dict[str, Pose]
    straight: frozenset[str]


@dataclass(frozen=True)
class LimbReach:
    """Reach of every portal, from the front; ``along`` says where each site lies, chart u in mm.

    ``sites`` are those the repair has by what is done there, ``probes`` more places beyond the first and last of them.
    """

    portals: tuple[PortalReach, ...]
    along: dict[str, float]
    sites: dict[Task, frozenset[str]]
    probes: dict[Task, frozenset[str]]

    def portal(self, name: str) -> PortalReach:
        """Reach of the portal of this full name."""
        return next(portal for portal in self.portals if portal.name == name)

    def reached(self, name: str, task: Task, *, straight: bool = False) -> frozenset[str]:
        """The sites of the repair that the portal reaches for a task."""
        portal = self.portal(name)
        return self.sites[task] & (portal.straight if straight else frozenset(portal.poses))

    def span(self, names: frozenset[str], task: Task) -> Span | None:
        """The longest run of neighbouring places that are all among ``names``; None for none.

        Places beyond the repair's own sites lengthen the run; sites at the same place are all asked for.
        """
        known = self.sites[task]
        runs: list[list[tuple[float, bool]]] = [[]]
        for place in _places(self.along, known | self.probes[task]):
            if place <= names:
                runs[-1].append((self.along[min(place)], bool(place & known)))
            elif runs[-1]:
                runs.append([])
        best = max(runs, key=lambda run: (sum(own for _, own in run), len(run)))
        return Span(best[0][0], best[-1][0]) if any(own for _, own in best) else None


def limb_reach(prepared: Prepared, layout: Layout, approach: Approach = USUAL) -> LimbReach:
    """Reach of every portal with the arm as it stands or moved from there.

    Raises
    ------
    EvidenceError
        When an implant has no size in the rows.
    CaseError
        When there is no portal of a name in the approach.
    """
    facts = Citing(prepared.book)
    gear = gear_of(facts)
    places = portals_of(facts, approach)
    own = sites_of(layout, prepared.strip, gear.tools, facts)
    sites = _tasks(layout)
    more = {task: _beyond([s for s in own if s.name in names], prepared, task) for task, names in sites.items()}
    asked = (*own, *(site for each in more.values() for site in each))
    scene = set_scene(prepared.shoulder.mean, asked, places, gear)
    poses = gear.posing.tried(approach.arm or gear.posing.usual["beach chair"])
    paths = scene.paths(poses)
    chosen = choose(paths, poses).at
    stance = stand(scene.shoulder, poses[:1], gear.posing.give)
    middle = float(stance.points(scene.spots.points)[0, : len(own), 0].mean())
    centre = float(np.mean([site.u for site in own]))
    found = []
    for k, place in enumerate(places):
        at = chosen[k]
        bent = paths.curved[np.maximum(at, 0), k, np.arange(len(asked))]
        hit = {site.name: poses[int(at[t])] for t, site in enumerate(asked) if at[t] >= 0}
        straight = frozenset(site.name for t, site in enumerate(asked) if at[t] >= 0 and not bent[t])
        found.append(PortalReach(place.name, centre + middle - float(scene.skins[k][0]), hit, straight))
    return LimbReach(
        tuple(sorted(found, key=lambda one: one.backwards)),
        {site.name: site.u for site in asked},
        sites,
        {task: frozenset(site.name for site in each) for task, each in more.items()},
    )


def _tasks(layout: Layout) -> dict[Task, frozenset[str]]:
    """The sites by what is done there."""
    return {
        "insert": frozenset(stitch.anchor for stitch in layout.stitches if stitch.anchor),
        "hole": frozenset(hole.name for hole in layout.holes),
        "seat": frozenset(stitch.to for stitch in layout.stitches if stitch.kind == "bridge" and stitch.to),
    }


def _beyond(own: list[Site], prepared: Prepared, task: Task) -> list[Site]:
    """Places along the tear before the first and behind the last of some sites, like the nearest of them."""
    if not own:
        return []
    first, last = min(own, key=lambda s: s.u), max(own, key=lambda s: s.u)
    strip = prepared.strip
    rows = np.linspace(strip.front, strip.front + strip.width, PROBES)
    nearest = [(k, float(u), first if u < first.u else last) for k, u in enumerate(rows)]
    return [replace(site, name=f"{task} {k}", u=u) for k, u, site in nearest if u < first.u - NEAR or u > last.u + NEAR]


def _places(along: dict[str, float], names: frozenset[str]) -> list[frozenset[str]]:
    """Sites grouped by place along the tear, from the front."""
    groups: list[list[str]] = []
    for name in sorted(names, key=lambda n: (along[n], n)):
        if groups and along[name] - along[groups[-1][0]] < NEAR:
            groups[-1].append(name)
        else:
            groups.append([name])
    return [frozenset(group) for group in groups]
