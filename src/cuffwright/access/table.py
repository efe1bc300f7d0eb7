"""The reach table: every site from every portal over all arm positions, and the answer in words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.paths import Paths, find_paths, reason_words
from cuffwright.access.portals import skin_point
from cuffwright.access.posing import PoseFacts, distances_degrees, stand
from cuffwright.access.sites import Site, Spots, Tools, place_sites
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.case.reach import Answer, PortalPlace, Pose, Reach

Floats = NDArray[np.float64]
Places = NDArray[np.int_]

NEAR = 15.0
"""Numerical choice: arm positions within this many degrees count as neighbours."""

STEADY = 0.75
"""Numerical choice: a position is preferred when this share of its neighbours also has a free path."""


@dataclass(frozen=True)
class Gear:
    """What does not change from shoulder to shoulder: tools, arm positions, depth over the superomedial corner."""

    tools: Tools
    posing: PoseFacts
    deep: float


@dataclass(frozen=True, eq=False)
class Scene:
    """One shoulder with its sites and portals, ready for any arm position; ``skins`` (k, 3) scapula frame."""

    shoulder: Shoulder
    sites: tuple[Site, ...]
    places: tuple[PortalPlace, ...]
    spots: Spots
    skins: Floats
    gear: Gear

    @property
    def tools(self) -> Tools:
        """The tools."""
        return self.gear.tools

    @property
    def posing(self) -> PoseFacts:
        """The arm positions."""
        return self.gear.posing

    def paths(self, poses: tuple[Pose, ...]) -> Paths:
        """All paths in these arm positions."""
        stance = stand(self.shoulder, poses, self.posing.give)
        return find_paths(self.shoulder, self.sites, self.spots, self.skins, stance, self.tools)


def set_scene(shoulder: Shoulder, sites: tuple[Site, ...], places: tuple[PortalPlace, ...], gear: Gear) -> Scene:
    """Place sites and portals on a shoulder.

    Raises
    ------
    CaseError
        When a portal has no such name or place.
    """
    skins = np.array([skin_point(place, shoulder, gear.deep) for place in places])
    spots = place_sites(sites, shoulder.chart)
    return Scene(shoulder, sites, places, spots, skins, gear)


@dataclass(frozen=True, eq=False)
class Chosen:
    """For each portal and site (k, t) the arm position of the answer, as its place among the poses; -1 for none."""

    at: Places

    def answer(self, k: int, t: int) -> Answer:
        """The answer in words."""
        place = int(self.at[k, t])
        return "no" if place < 0 else "yes" if place == 0 else "moved"


def choose(paths: Paths, poses: Sequence[Pose]) -> Chosen:
    """The arm position for each portal and site: the first where its path is free, else the nearest steady one."""
    free = paths.free
    apart = distances_degrees(poses)
    away, near = apart[0], (apart <= NEAR).astype(float)
    around = np.einsum("pq,qkt->pkt", near, free.astype(float)) / near.sum(axis=1)[:, None, None]
    shaky = np.where(around >= STEADY, 0.0, away.max() + 1)
    cost = np.where(free, away[:, None, None] + shaky, np.inf)
    at = np.argmin(cost, axis=0)
    at = np.where(free.any(axis=0), at, -1)
    return Chosen(np.where(free[0], 0, at))


def why_not(paths: Paths, k: int, t: int, sites: tuple[Site, ...], tools: Tools) -> str:
    """Why no arm position will do: what stops most of them, said where the path is steepest."""
    stops = paths.stop[:, k, t]
    kinds, counts = np.unique(stops, return_counts=True)
    held = np.flatnonzero(stops == kinds[np.argmax(counts)])
    place = int(held[np.argmax(paths.angle[held, k, t])])
    return reason_words(paths, (place, k, t), sites[t], tools)


def means_of(site: Site, *, curved: bool) -> str:
    """What goes there."""
    if site.kind != "hole":
        return "driver"
    return "curved penetrating passer" if curved else "passer with a jaw"


def reach_rows(scene: Scene, paths: Paths, poses: Sequence[Pose], chosen: Chosen, share: Floats) -> tuple[Reach, ...]:
    """The table as values; ``share`` (k, t) is the probability at the arm position of the answer."""
    rows = []
    for t, site in enumerate(scene.sites):
        for k, place in enumerate(scene.places):
            at = max(0, int(chosen.at[k, t]))
            answer = chosen.answer(k, t)
            room, curved = float(paths.room[at, k, t]), bool(paths.curved[at, k, t])
            passage = scene.tools.cannulas.passage(place.name, float(paths.length[at, k, t]), bare=curved)
            rows.append(
                Reach(
                    site=site.name,
                    kind=site.kind,
                    portal=place.name,
                    answer=answer,
                    pose=poses[at],
                    angle_degrees=float(paths.angle[at, k, t]),
                    length=float(paths.length[at, k, t]),
                    room=None if site.kind == "hole" else room,
                    probability=float(share[k, t]),
                    reason=why_not(paths, k, t, scene.sites, scene.tools) if answer == "no" else "",
                    means=means_of(site, curved=curved) if answer != "no" else "",
                    through=passage.through if answer != "no" else "",
                    shaft=passage.shaft if answer != "no" else None,
                )
            )
    return tuple(rows)
