"""The example bones of the installed package myo-sim (Apache-2.0): triangles, and points measured on them.

Points are in the frame of the scapula's file, mm: x forward, y up, z lateral; the humerus hangs at its zero pose.
"""

import struct
from importlib.resources import files

import numpy as np

GLENOID = np.array([-28.4, -37.3, -15.9])
LATERAL = np.array([0.482, -0.069, 0.873]) / np.linalg.norm([0.482, -0.069, 0.873])
UP = np.array([0.506, 0.836, -0.213]) - np.array([0.506, 0.836, -0.213]) @ LATERAL * LATERAL
UP = UP / np.linalg.norm(UP)
AXES = np.array([np.cross(UP, LATERAL), UP, LATERAL])
HEAD = np.array([-9.55, -34.0, 9.0]) + np.array([-0.1, 0.8, 0.5])
POINTS = {
    "glenoid top": (-13.6, -25.1, -21.8),
    "glenoid bottom": (-35.2, -53.2, -14.4),
    "acromion anterolateral corner": (-3.0, -2.6, 6.0),
    "acromion lateral": (-17.5, -0.3, 10.0),
    "acromion posterolateral corner": (-45.2, -4.9, 3.1),
    "acromion tip": (0.8, -4.1, 1.0),
    "coracoid tip": (13.7, -38.7, -29.8),
    "head centre": (-9.6, -33.2, 9.4),
}


def triangles(bone: str) -> np.ndarray:
    """Triangles (n, 3, 3) of a bone's file, mm."""
    raw = (files("myo_sim") / "models" / "meshes" / f"{bone}.stl").read_bytes()
    (count,) = struct.unpack("<I", raw[80:84])
    kind = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    return np.frombuffer(raw[84:], dtype=kind, count=count)["corners"].astype(float) * 1000


def to_glenoid(points) -> np.ndarray:
    """Points (..., 3) of the scapula's file in the frame of its glenoid: forward, up, lateral."""
    return (np.asarray(points) - GLENOID) @ AXES.T


def hit(start: np.ndarray, end: np.ndarray, corners: np.ndarray) -> bool:
    """Whether the segment meets any triangle (n, 3, 3): the textbook ray and triangle test."""
    way = end - start
    one, other = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    side = np.cross(way, other)
    size = np.sum(one * side, axis=1)
    safe = np.where(np.abs(size) > 1e-12, size, 1)
    gap = start - corners[:, 0]
    u = np.sum(gap * side, axis=1) / safe
    cross = np.cross(gap, one)
    v = cross @ way / safe
    t = np.sum(other * cross, axis=1) / safe
    return bool(np.any((np.abs(size) > 1e-12) & (u >= 0) & (v >= 0) & (u + v <= 1) & (t >= 0) & (t <= 1)))
