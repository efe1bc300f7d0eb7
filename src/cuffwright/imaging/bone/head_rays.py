"""The humeral head on a CT: rays from a mark inside it to the outer face of its cortex, and the sphere through them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import Citing
from cuffwright.imaging.bone.head_doubt import RIVAL, Doubtful, sphere_doubt
from cuffwright.imaging.bone.volume import Floats, Volume

LEVEL_KEY = "imaging.ct.bone_level"
ROUND_KEY = "imaging.head.out_of_round"

RAYS = 800
"""Numerical choice: rays, even over all directions."""

REACH_MM = 42.0
"""Numerical choice: how far a ray runs; beyond any head's radius, from a mark well inside it."""

STEP_MM = 0.25
"""Numerical choice: step along a ray."""

NEAREST_MM = 8.0
"""Numerical choice: bone nearer to the centre than this is not the head's cortex."""

GAP_MM = 1.0
"""Numerical choice: bone has ended when values stay below the level over this length."""

CORTEX_MM = 3.0
"""Numerical choice: the brightest place of the cortex lies within this length of where a ray leaves it."""

TRIES = 400
"""Numerical choice: spheres through four rays that are tried for agreement."""

NEAR_MM = 1.0
"""Numerical choice: a ray agrees with a sphere when it ends this near to it."""

RADII_MM = (15.0, 34.0)
"""Numerical choice: no head is smaller or larger; the published range is far narrower."""

ROUNDS = 3
"""Numerical choice: rounds of rays, each from the centre found before."""

LEAST_RAYS = 60
"""Numerical choice: fewer agreeing rays give no sphere."""


@dataclass(frozen=True)
class BoneRows:
    """What is known of bone on a CT: Hounsfield value above which a voxel counts as bone, how far two radii differ."""

    level: float
    out_of_round_mm: float

    @classmethod
    def from_facts(cls, facts: Citing) -> "BoneRows":
        """As the rows say."""
        return cls(facts.number(LEVEL_KEY), facts.number(ROUND_KEY))


@dataclass(frozen=True, eq=False)
class HeadSphere:
    """Centre (patient mm), radius, root mean square miss and SDs, all mm, and how the rays went.

    ``centre_sd`` (3,) are the SDs of the centre along patient x, y and z. ``ends`` (n, 3) are the ends of the agreeing
    rays, ``share`` is their part of all rays, ``cut_mm`` is by how much the scan ends before the sphere does (0 when it
    holds it whole).
    """

    centre: Floats
    radius: float
    miss_mm: float
    centre_sd: Floats
    radius_sd_mm: float
    ends: Floats
    share: float
    cut_mm: float

    @property
    def centre_sd_mm(self) -> float:
        """SD of the centre along one way, the mean of the three (root mean square)."""
        return float(np.sqrt(np.mean(self.centre_sd**2)))


def head_sphere(volume: Volume, mark: Floats, bone: BoneRows, seed: int) -> HeadSphere:
    """The head as a sphere.

    Parameters
    ----------
    volume
        Hounsfield values.
    mark
        (3,) patient point inside the head.
    bone
        Level of bone, and how far a head is out of round.
    seed
        Of the tries for agreement.

    Raises
    ------
    ImageError
        When too few rays end on one sphere.
    """
    ways, rng = _even_ways(RAYS), np.random.default_rng(seed)
    centre, radius = mark, float(np.mean(RADII_MM))
    ends, rivals = mark[None], np.zeros((0, 4))
    for _ in range(ROUNDS):
        found, ended = _ends(volume, centre, ways, bone.level)
        ends = found[ended]
        kept, rivals = agreeing(ends, rng)
        if kept.sum() < LEAST_RAYS:
            raise ImageError("no round head is found around the mark; set it into the middle of the humeral head")
        ends = ends[kept]
        centre, radius = fitted(ends)
    miss = np.linalg.norm(ends - centre, axis=1) - radius
    rms = float(np.sqrt(np.mean(miss**2)))
    doubt = sphere_doubt(ends, centre, rms, Doubtful(volume.steps, RAYS, rivals, bone.out_of_round_mm))
    cut = _cut(volume, centre, radius)
    return HeadSphere(centre, radius, rms, doubt[:3], float(doubt[3]), ends, len(ends) / RAYS, cut)


def fitted(points: Floats) -> tuple[Floats, float]:
    """Centre and radius of the sphere nearest to points (n, 3), by algebraic least squares."""
    middle = points.mean(axis=0)
    away = points - middle
    system = np.column_stack([2 * away, np.ones(len(away))])
    found = np.linalg.lstsq(system, np.sum(away**2, axis=1), rcond=None)[0]
    return found[:3] + middle, float(np.sqrt(max(0.0, found[3] + found[:3] @ found[:3])))


def _even_ways(count: int) -> Floats:
    """Unit vectors (count, 3), evenly over the sphere (a spiral by the golden ratio)."""
    number = np.arange(count) + 0.5
    height = 1 - 2 * number / count
    turn = np.pi * (1 + np.sqrt(5)) * number
    flat = np.sqrt(1 - height**2)
    return np.stack([flat * np.cos(turn), flat * np.sin(turn), height], axis=-1)


def _ends(volume: Volume, centre: Floats, ways: Floats, level: float) -> tuple[Floats, NDArray[np.bool_]]:
    """Where each ray leaves the first bone it meets beyond the nearest, and whether it does so within the scan."""
    far = np.arange(0.0, REACH_MM, STEP_MM)
    values = volume.at((centre + far[:, None, None] * ways).reshape(-1, 3)).reshape(len(far), -1)
    bone = (values >= level) & (far >= NEAREST_MM)[:, None]
    clear = int(GAP_MM / STEP_MM)
    below = np.cumsum(~bone, axis=0)
    ends_here = np.zeros_like(bone)
    ends_here[:-clear] = bone[:-clear] & (below[clear:] - below[:-clear] == clear)
    ended = ends_here.any(axis=0)
    last = ends_here.argmax(axis=0)
    edge = _half_way(values, last)
    beyond = centre + (far[last] + GAP_MM)[:, None] * ways
    return centre + (edge * STEP_MM)[:, None] * ways, ended & volume.holds(beyond)


def _half_way(values: Floats, last: NDArray[np.int_]) -> Floats:
    """Where (in steps) each ray passes half way between the cortex it leaves and what lies beyond it.

    A fixed level would lie too far out, since blur widens a bright layer.
    """
    back, clear = int(CORTEX_MM / STEP_MM), int(GAP_MM / STEP_MM)
    steps, column = np.arange(len(values))[:, None], np.arange(values.shape[1])
    layer = (steps > last - back) & (steps <= last)
    top = np.where(layer, values, -np.inf).argmax(axis=0)
    outside = values[np.minimum(last + clear, len(values) - 1), column]
    half = (values[top, column] + outside) / 2
    under = (steps > top) & (values < half)
    first = np.where(under.any(axis=0), under.argmax(axis=0), last + 1)
    above, below = values[first - 1, column], values[first, column]
    return np.asarray(first - 1 + np.clip((above - half) / np.maximum(above - below, 1.0), 0, 1))


def agreeing(ends: Floats, rng: np.random.Generator) -> tuple[NDArray[np.bool_], Floats]:
    """The points (n, 3) of the best sphere, and centre and radius (m, 4) of all that agree with nearly as many."""
    best, tried = np.zeros(len(ends), np.bool_), []
    if len(ends) < LEAST_RAYS:
        return best, np.zeros((0, 4))
    for _ in range(TRIES):
        near = _near(ends, *fitted(ends[rng.choice(len(ends), 4, replace=False)]))
        if near.sum() >= max(LEAST_RAYS, RIVAL * best.sum()):
            tried.append(near)
            best = near if near.sum() > best.sum() else best
    for _ in range(ROUNDS):
        if best.sum() < LEAST_RAYS:
            return best, np.zeros((0, 4))
        best = _near(ends, *fitted(ends[best]))
    rivals = [fitted(ends[near]) for near in tried]
    as_good = [(*c, r) for c, r in rivals if _near(ends, c, r).sum() >= RIVAL * best.sum()]
    return best, np.array([(*centre, radius) for centre, radius in [fitted(ends[best])]] + as_good)


def _near(ends: Floats, centre: Floats, radius: float) -> NDArray[np.bool_]:
    """Which rays end on a sphere; none when no head has its size."""
    if not RADII_MM[0] < radius < RADII_MM[1]:
        return np.zeros(len(ends), np.bool_)
    return np.asarray(np.abs(np.linalg.norm(ends - centre, axis=1) - radius) < NEAR_MM)


def _cut(volume: Volume, centre: Floats, radius: float) -> float:
    """By how much the sphere sticks out of the scan, mm."""
    place = volume.to_index(centre)
    room = np.concatenate([place, np.array(volume.values.shape) - 1 - place]) * np.tile(volume.voxel_mm, 2)
    return float(max(0.0, radius - room.min()))
