"""Blocks, rods and balls in closed form beside the rays of embreex on the same shapes cut into triangles.

An independent answer to the question whether a straight line strikes a bone; and how long either takes.
"""

import time
from itertools import combinations
from typing import Any

import numpy as np

LINES = 20_000
"""Lines held against each shape."""
FINE = 96
"""Points about a rod or ball that is cut into triangles."""


def hull_triangles(points: np.ndarray) -> np.ndarray:
    """Triangles (n, 3, 3) of the convex hull of points (m, 3)."""
    from scipy.spatial import ConvexHull

    return points[ConvexHull(points).simplices]


def corners(normals: np.ndarray, offsets: np.ndarray) -> np.ndarray:
    """Corners (n, 3) of the block ``normals @ p <= offsets``."""
    found = []
    for trio in combinations(range(len(offsets)), 3):
        system = normals[list(trio)]
        if abs(np.linalg.det(system)) > 1e-9:
            point = np.linalg.solve(system, offsets[list(trio)])
            if np.all(normals @ point <= offsets + 1e-7):
                found.append(point)
    return np.array(found)


def globe(centre: np.ndarray, radius: float) -> np.ndarray:
    """Points on a ball."""
    turn, rise = np.meshgrid(np.linspace(0, 2 * np.pi, 2 * FINE), np.linspace(-np.pi / 2, np.pi / 2, FINE))
    ways = np.stack([np.cos(rise) * np.cos(turn), np.cos(rise) * np.sin(turn), np.sin(rise)], axis=-1)
    return centre + radius * ways.reshape(-1, 3)


def triangles_of(solid: Any) -> np.ndarray:
    """Any solid of the shoulder as triangles of a convex hull."""
    if hasattr(solid, "normals"):
        return hull_triangles(corners(solid.normals, solid.offsets))
    if hasattr(solid, "centre"):
        return hull_triangles(globe(solid.centre, solid.radius))
    return hull_triangles(np.vstack([globe(solid.start, solid.radius), globe(solid.end, solid.radius)]))


def rays(triangles: np.ndarray, start: np.ndarray, end: np.ndarray) -> tuple[np.ndarray, float]:
    """Whether each segment meets a triangle, by embreex; and seconds spent, the tree included."""
    from embreex import rtcore_scene
    from embreex.mesh_construction import TriangleMesh

    began = time.perf_counter()
    scene = rtcore_scene.EmbreeScene()
    _kept = TriangleMesh(scene, triangles.astype(np.float32))
    run = end - start
    length = np.linalg.norm(run, axis=1)
    ways = (run / length[:, None]).astype(np.float32)
    found = scene.run(start.astype(np.float32), ways, query="DISTANCE", dists=length.astype(np.float32))
    return found < length * (1 - 1e-6), time.perf_counter() - began


def compare() -> dict[str, Any]:
    """Each bone of the mean shoulder: share of lines on which both agree, and seconds of either."""
    from cuffwright.anatomy.solid import Ball
    from cuffwright.case.fact import Citing
    from cuffwright.case.identity import Identity
    from cuffwright.case.measurement import Measurement
    from cuffwright.case.sheet import CaseSheet
    from cuffwright.case.tear import Tear
    from cuffwright.course.own_shoulder import own_shoulder
    from cuffwright.evidence.book import load_book

    sheet = CaseSheet(Identity("rays", "right"), Tear(Measurement(15.0, 1.0, "typed")))
    shoulder = own_shoulder(sheet, load_book(), Citing(load_book())).mean
    solids = (*shoulder.solids, Ball("head of the humerus", shoulder.head, shoulder.humerus.head_radius))
    rng = np.random.default_rng(2)
    found: dict[str, Any] = {}
    for number, solid in enumerate(solids):
        triangles = triangles_of(solid)
        middle = triangles.reshape(-1, 3).mean(axis=0)
        reach = float(np.linalg.norm(triangles.reshape(-1, 3) - middle, axis=1).max())
        out, aim = rng.normal(0, 1, (2, LINES, 3))
        start = middle + 3 * reach * out / np.linalg.norm(out, axis=1)[:, None]
        end = middle + 0.6 * reach * aim - 0.5 * (start - middle)
        began = time.perf_counter()
        ours = np.asarray(solid.struck(start, end, 0.0))
        spent = time.perf_counter() - began
        theirs, traced = rays(triangles, start, end)
        found[f"{number + 1} {solid.name}"] = {
            "lines": LINES,
            "struck": int(theirs.sum()),
            "disagree": int(np.sum(ours != theirs)),
            "ours_ms": round(1000 * spent, 1),
            "embreex_ms": round(1000 * traced, 1),
        }
    return found
