"""Places in the bone to keep clear of: cysts and anchors of an earlier operation, against the beds of new ones."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.sites import Site, Spots, place_sites
from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.solid import segment_distance
from cuffwright.case.reach import BedMeeting
from cuffwright.case.tissues import Bone, Cyst, EarlierAnchor

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Hollow:
    """A place without sound bone, humerus frame: a segment from ``start`` to ``end`` (3,) and its radius (mm)."""

    name: str
    start: Floats
    end: Floats
    radius: float


def hollows(bone: Bone, chart: FootprintChart) -> tuple[tuple[Hollow, ...], tuple[str, ...]]:
    """What is known well enough to be placed, and sentences on what is not."""
    found: list[Hollow] = []
    lacking: list[str] = []
    for number, cyst in enumerate(bone.cysts, 1):
        place = _cyst(f"cyst {number}", cyst, chart)
        found += [place] if place else []
        lacking += [] if place else [f"Beds against cyst {number} not computed, needs its depth_mm."]
    for number, earlier in enumerate(bone.earlier_anchors, 1):
        place = _anchor(f"earlier anchor {number}", earlier, chart)
        needs = "its diameter_mm, length_mm and lean_degrees"
        found += [place] if place else []
        lacking += [] if place else [f"Beds against earlier anchor {number} not computed, needs {needs}."]
    return tuple(found), tuple(lacking)


def defect_meetings(
    sites: tuple[Site, ...],
    spots: Spots,
    axes: dict[str, Floats],
    places: tuple[Hollow, ...],
    least: tuple[float, float],
) -> tuple[BedMeeting, ...]:
    """Bone between every anchor bed and every place to keep clear of (mm); axes by name, site to portal (3,).

    ``least`` are the sleeve's wall, which leaves no hole in the bone, and the least bone between beds.
    """
    sleeve_wall, bridge = least
    met = []
    for n, site in enumerate(sites):
        if site.name not in axes or site.bed <= 0:
            continue
        start, end = spots.points[n], spots.points[n] - site.bed * axes[site.name]
        for place in places:
            apart = float(segment_distance(start, end, place.start, place.end))
            left = apart - place.radius - site.diameter / 2 + sleeve_wall
            met.append(BedMeeting(site.name, place.name, left, left >= bridge))
    return tuple(met)


def _cyst(name: str, cyst: Cyst, chart: FootprintChart) -> Hollow | None:
    if cyst.depth_mm is None:
        return None
    middle = chart.to_humerus(cyst.u, cyst.v) - cyst.depth_mm * chart.normals(cyst.u, cyst.v)
    return Hollow(name, middle, middle, cyst.diameter_mm / 2)


def _anchor(name: str, earlier: EarlierAnchor, chart: FootprintChart) -> Hollow | None:
    if earlier.diameter_mm is None or earlier.length_mm is None or earlier.lean_degrees is None:
        return None
    site = Site(name, "medial anchor", earlier.u, earlier.v, 0.0, earlier.diameter_mm)
    spot = place_sites((site,), chart)
    ways = {
        "posterior": spot.backwards[0],
        "anterior": -spot.backwards[0],
        "lateral": spot.outwards[0],
        "medial": -spot.outwards[0],
    }
    lean = np.radians(earlier.lean_degrees)
    into = -np.cos(lean) * spot.normals[0]
    if earlier.towards is not None:
        into = into + np.sin(lean) * ways[earlier.towards]
    start = spot.points[0]
    return Hollow(name, start, start + earlier.length_mm * into, earlier.diameter_mm / 2)
