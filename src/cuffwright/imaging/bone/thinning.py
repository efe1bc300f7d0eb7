"""A surface with fewer triangles, for the screen: points that lie together in one small cube become one."""

import numpy as np

from cuffwright.imaging.bone.surface_net import Mesh


def thinned(mesh: Mesh, cube_mm: float) -> Mesh:
    """The surface on the mean points of cubes of ``cube_mm``; triangles that shrink to a line are left out."""
    cubes = np.floor((mesh.points - mesh.points.min(axis=0)) / cube_mm).astype(np.int64)
    _, cube, count = np.unique(cubes, axis=0, return_inverse=True, return_counts=True)
    cube = cube.reshape(-1)
    points = np.stack([np.bincount(cube, mesh.points[:, way]) for way in range(3)], axis=-1) / count[:, None]
    corners = cube[mesh.triangles]
    whole = (corners != np.roll(corners, 1, axis=1)).all(axis=1)
    return Mesh(points, corners[whole])
