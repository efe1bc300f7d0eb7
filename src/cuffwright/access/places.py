"""Better places for the free portals, within their latitude, at the arm position meant; and what is gained."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from cuffwright.access.paths import Paths
from cuffwright.access.portals import skin_point
from cuffwright.access.table import Gear, Scene
from cuffwright.case.fact import Citing
from cuffwright.case.reach import BetterPlace, PortalPlace, Pose

STEPS = 5
"""Numerical choice: places tried along the edge, and as many across it."""


@dataclass(frozen=True)
class Latitude:
    """How far a free portal may move: share of the edge either way, mm up or down, mm off the edge for a stab."""

    along: float
    down: float
    beside_most: float

    @classmethod
    def from_facts(cls, book: Citing) -> "Latitude":
        """The latitude from its rows."""
        stab = book.fact("portal.accessory.beside")
        return cls(
            along=book.number("portal.latitude.along"),
            down=book.number("portal.latitude.down"),
            beside_most=stab.high if stab.high is not None else stab.value,
        )

    def places(self, place: PortalPlace) -> Iterator[PortalPlace]:
        """The places tried for one portal off the edge; the one meant is the first."""
        yield place
        if place.along is None:
            return
        low, high = max(0.0, place.along - self.along), min(1.0, place.along + self.along)
        for along in np.linspace(low, high, STEPS):
            for step in np.linspace(0, 1, STEPS):
                if place.down:
                    down = place.down + (2 * step - 1) * self.down
                    yield replace(place, along=float(along), down=max(0.0, float(down)))
                else:
                    yield replace(place, along=float(along), beside=float(step) * self.beside_most)


def better_places(scene: Scene, pose: Pose, latitude: Latitude, gear: Gear) -> tuple[BetterPlace, ...]:
    """For each free portal the place that brings most sites into reach; left out where nothing is gained."""
    found = []
    for place in scene.places:
        if place.fixed:
            continue
        tried = tuple(latitude.places(place))
        skins = np.array([skin_point(one, scene.shoulder, gear.deep) for one in tried])
        paths = replace(scene, places=tried, skins=skins).paths((pose,))
        counts = [_count(paths, k) for k in range(len(tried))]
        best = max(range(len(tried)), key=lambda k: (counts[k], -k))
        (before, flat), (after, steep) = counts[0], counts[best]
        if after > before:
            found.append(BetterPlace(place.name, tried[best], before, after, flat, steep))
    return tuple(found)


def _count(paths: Paths, k: int) -> tuple[int, float]:
    """Sites in reach from place ``k`` and the flattest anchor path among them (0 where there is none)."""
    free = paths.free[0, k]
    anchors = free & ~np.isnan(paths.room[0, k])
    return int(free.sum()), float(paths.angle[0, k][anchors].min()) if anchors.any() else 0.0
