"""The proximal humerus of a CT, apart from the scapula: surface, head, shaft axis, and what the scan leaves open."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side
from cuffwright.imaging.bone.head_rays import BoneRows, HeadSphere, head_sphere
from cuffwright.imaging.bone.surface_net import Mesh, surface_of
from cuffwright.imaging.bone.volume import Floats, Volume
from cuffwright.imaging.picture import side_of

Bools = NDArray[np.bool_]

ROOM_MM = 75.0
"""Numerical choice: half the side of the box around the mark in which the bone is looked for."""

SKIN_MM = 1.0
"""Numerical choice: towards the scapula, bone farther than this beyond the head's sphere is not the humerus."""

SHAFT_BELOW = 1.4
"""Numerical choice: the shaft begins this many radii below the head's centre, where neck and tuberosities end."""

NECK_BELOW = 0.5
"""Numerical choice: this many radii below the centre the bone may lie on either side of it."""

SHAFT_ROOM = 1.3
"""Numerical choice: no part of the humerus lies farther beside the head's centre, in radii."""

TUBEROSITY_ROOM = 1.5
"""Numerical choice: no part of head and tuberosities lies farther from the centre, in radii; the acromion does."""

LEAST_SHAFT_MM = 15.0
"""Numerical choice: a shorter piece of shaft gives no axis."""

LEAST_SECTION = 0.4
"""Numerical choice: a shaft's cross-section is larger than this part of the square of the head's radius."""

LEAST_SHARE = 0.25
"""Numerical choice: with fewer of the rays on the sphere the fit is called incomplete."""

SMOOTHING_MM = 0.6
"""Numerical choice: SD of the smoothing of the bone's border before its surface is drawn."""


@dataclass(frozen=True, eq=False)
class HumerusFromCt:
    """What a CT gives of one proximal humerus, patient mm.

    ``shaft`` is a point on the shaft's axis and the unit vector up it, None when the scan ends too soon. ``surface`` is
    the bone's border within the scan, ``volume_cm3`` what it encloses. ``incomplete`` says what is missing, in words.
    """

    head: HeadSphere
    shaft: tuple[Floats, Floats] | None
    surface: Mesh
    volume_cm3: float
    incomplete: tuple[str, ...]

    @property
    def lean_degrees(self) -> float | None:
        """Angle of the shaft to the patient's upright axis."""
        if self.shaft is None:
            return None
        return float(np.degrees(np.arccos(np.clip(self.shaft[1][2], -1, 1))))


def humerus_of(volume: Volume, mark: Floats, side: Side, rows: BoneRows, seed: int = 1) -> HumerusFromCt:
    """Find the proximal humerus around a mark inside its head.

    Parameters
    ----------
    volume
        Hounsfield values of a CT.
    mark
        (3,) patient point inside the humeral head.
    side
        Of the shoulder: the scapula lies towards the middle of the body.
    rows
        Level of bone, and how far a head is out of round.
    seed
        Of the search for the sphere.

    Raises
    ------
    ImageError
        When no head is found, it lies on the other side of the patient, or no bone hangs together with it.
    """
    near = volume.around(mark, ROOM_MM)
    head = head_sphere(near, mark, rows, seed)
    seen = side_of(float(head.centre[0]))
    if seen is not None and seen != side:
        raise ImageError(
            f"this head lies on the patient's {seen}, the case is of the {side} shoulder; mark its own head"
        )
    bone = _apart(near, head, side, rows.level, hanging=True)
    shaft = _shaft(bone, near, head)
    if shaft is None:
        bone = _apart(near, head, side, rows.level, hanging=False)
    surface = surface_of(bone, near, SMOOTHING_MM)
    return HumerusFromCt(head, shaft, surface, surface.volume_mm3 / 1000, _incomplete(head, shaft))


def _places(volume: Volume) -> Floats:
    """Patient points (slices, rows, columns, 3) of all voxels."""
    index = np.stack(np.meshgrid(*[np.arange(n, dtype=float) for n in volume.values.shape], indexing="ij"), axis=-1)
    return volume.to_patient(index)


def _apart(volume: Volume, head: HeadSphere, side: Side, level: float, *, hanging: bool) -> Bools:
    """The voxels of the humerus: bone around the head's centre, each slice filled, the scapula left out.

    With the arm ``hanging`` nothing of the humerus lies above its head. With the arm raised what lies below the head is
    the scapula, so only head and tuberosities are taken.
    """
    away = _places(volume) - head.centre
    far = np.linalg.norm(away, axis=-1)
    lateral = away[..., 0] * (1 if side == "left" else -1)
    flat = np.linalg.norm(away[..., :2], axis=-1)
    below = away[..., 2] < -NECK_BELOW * head.radius
    allowed = far < head.radius + SKIN_MM
    allowed |= (far < TUBEROSITY_ROOM * head.radius) & (lateral > 0)
    allowed |= below & (flat < SHAFT_ROOM * head.radius) & hanging
    if hanging:
        allowed &= away[..., 2] < head.radius + SKIN_MM
    bone = (volume.values >= level) & allowed
    bone |= far < head.radius - 2 * SKIN_MM
    bone = _filled(bone)
    named, _ = ndimage.label(bone)
    at = tuple(np.clip(np.rint(volume.to_index(head.centre)).astype(int), 0, np.array(bone.shape) - 1))
    if not named[at]:
        raise ImageError("no bone hangs together around the mark; set it into the middle of the humeral head")
    return _above_end(np.asarray(named == named[at]), volume, head)


def _filled(bone: Bools) -> Bools:
    """Marrow within its shell, looked for in cuts of all three ways: where the shell is thin, one of them holds."""
    closed = ndimage.binary_closing(np.pad(bone, 2))[2:-2, 2:-2, 2:-2] | bone
    found = closed
    for axis in range(3):
        cuts = np.moveaxis(closed, axis, 0)
        full = np.stack([ndimage.binary_fill_holes(ndimage.binary_closing(one) | one) for one in cuts])
        found = found | np.moveaxis(full, 0, axis)
    return np.asarray(ndimage.binary_fill_holes(found))


def _above_end(bone: Bools, volume: Volume, head: HeadSphere) -> Bools:
    """The bone down to where its cross-section is too small for a shaft: with the arm raised the scapula hangs on."""
    heights = volume.to_patient(np.array([[k, 0.0, 0.0] for k in range(len(bone))]))[:, 2]
    area = bone.sum(axis=(1, 2)) * float(np.prod(volume.voxel_mm[1:]))
    thin = (area < LEAST_SECTION * head.radius**2) & (heights < head.centre[2])
    end = heights[thin].max() if thin.any() else -np.inf
    return np.asarray(bone & (heights > end)[:, None, None])


def _shaft(bone: Bools, volume: Volume, head: HeadSphere) -> tuple[Floats, Floats] | None:
    """Axis through the middles of the bone's slices below the neck."""
    places = _places(volume)
    middles = []
    for inside, spots in zip(bone, places, strict=True):
        if inside.any():
            middle = spots[inside].mean(axis=0)
            if middle[2] < head.centre[2] - SHAFT_BELOW * head.radius:
                middles.append(middle)
    if len(middles) < 3 or np.ptp(np.array(middles)[:, 2]) < LEAST_SHAFT_MM:
        return None
    found = np.array(middles)
    way = np.linalg.svd(found - found.mean(axis=0))[2][0]
    return found.mean(axis=0), np.asarray(way * np.sign(way[2]))


def _incomplete(head: HeadSphere, shaft: tuple[Floats, Floats] | None) -> tuple[str, ...]:
    notes = []
    if head.cut_mm > 0:
        doubt = " by ".join(f"{sd:.1f}" for sd in head.centre_sd)
        notes.append(
            f"partial head, the scan ends {head.cut_mm:.1f} mm before the head does: its centre is known to {doubt} mm"
            f" (SD; left, behind, up), its radius to {head.radius_sd_mm:.1f} mm"
        )
    if head.share < LEAST_SHARE:
        notes.append(f"only {100 * head.share:.0f} percent of the rays end on the sphere: the fit is incomplete")
    if shaft is None:
        notes.append(
            f"the shaft's axis is not computed, needs {LEAST_SHAFT_MM:g} mm of it below the neck, arm at the side;"
            " the surface is that of head and tuberosities alone"
        )
    return tuple(notes)
