"""How far a sphere through the edge of a head may be wrong: scatter, voxels, shape, other spheres that fit as well.

A head is no perfect ball, and a scan may end before it does. Then several spheres agree with nearly as many rays, and
an edge that lies too far out on the side that is seen, by a part of a voxel or because the head is longer that way, has
nothing on the other side to hold it.
"""

from dataclasses import dataclass

import numpy as np

from cuffwright.imaging.bone.volume import Floats

RIVAL = 0.8
"""Numerical choice: a sphere that agrees with this share of the rays of the best one may as well be the head."""

FEWEST = 4.0
"""Numerical choice: no fewer independent patches of edge are counted."""


@dataclass(frozen=True, eq=False)
class Doubtful:
    """What makes a sphere doubtful beside its own misses.

    ``voxel_mm`` (3, 3) are the ways of one voxel along slices, rows and columns in patient mm, ``rays`` how many were
    sent in all, ``rivals`` (m, 4) centre and radius of the spheres that agree with nearly as many of them, and
    ``out_of_round_mm`` by how much two radii of one head differ.
    """

    voxel_mm: Floats
    rays: int
    rivals: Floats
    out_of_round_mm: float


def sphere_doubt(ends: Floats, centre: Floats, rms: float, doubtful: Doubtful) -> Floats:
    """SDs (4,) of the centre along patient x, y, z and of the radius, mm.

    Parameters
    ----------
    ends
        (n, 3) ends of the rays that agree, patient mm.
    centre
        (3,) of the sphere through them.
    rms
        Root mean square of their misses, mm.
    doubtful
        Voxels, rays, rivals and shape.
    """
    away = ends - centre
    far = np.linalg.norm(away, axis=1)
    outward = away / far[:, None]
    solved = np.linalg.pinv(np.column_stack([outward, np.ones(len(ends))]))
    size = float(np.linalg.norm(doubtful.voxel_mm, axis=1).max())
    patches = max(4 * np.pi * float(far.mean()) ** 2 * len(ends) / doubtful.rays / size**2, FEWEST)
    scatter = np.sum(solved**2, axis=1) * rms**2 * max(len(ends) / patches, 1.0)
    common = _voxels(outward, solved, doubtful.voxel_mm) + _shape(outward, solved, doubtful.out_of_round_mm)
    return np.asarray(np.sqrt(scatter + common + np.var(doubtful.rivals, axis=0)))


def _voxels(outward: Floats, solved: Floats, voxel_mm: Floats) -> Floats:
    """Variances (4,) from where an edge falls within its voxel, which is alike for all rays along one way."""
    size = np.linalg.norm(voxel_mm, axis=1)
    faced = (outward @ (voxel_mm / size[:, None]).T) ** 2
    moved = solved @ faced
    # on a whole head the centre holds and the radius moves; the three ways may also err together
    apart = np.sum(moved**2 * size**2, axis=1)
    together = (moved @ size) ** 2
    return np.asarray(np.maximum(apart, together) / 12)


def _shape(outward: Floats, solved: Floats, out_of_round_mm: float) -> Floats:
    """Variances (4,) from a head that is longer or shorter along one way than a ball of its mean radius.

    Two radii that differ by the given length each depart from the mean by it over the root of two. On a whole head
    neither centre nor mean radius moves.
    """
    longer = outward**2 - 1 / outward.shape[1]
    return np.asarray(np.sum((solved @ longer) ** 2, axis=1) * out_of_round_mm**2 / 2)
