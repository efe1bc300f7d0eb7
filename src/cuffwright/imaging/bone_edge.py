"""Where bright marrow ends along rays from a centre: one edge point per direction."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from cuffwright.imaging.circle import Circle, Floats

RAYS = 180
"""Numerical choice: directions looked along, one every two degrees."""

SMOOTHING_PX = 1.0
"""Numerical choice: SD of the smoothing before slopes are taken, pixels."""

STEP_PX = 0.5
"""Numerical choice: distance between samples along a ray, pixels."""

LEAST_SLOPE = 0.05
"""Numerical choice: an edge must fall by this part of the marrow's level per pixel."""

MARROW_PART = 0.3
"""Numerical choice: the marrow's level is taken within this part of the radius."""


@dataclass(frozen=True)
class Bone:
    """A smoothed frame (rows x columns, stored order) with its spacing in mm down and across."""

    levels: Floats
    row_mm: float
    col_mm: float

    @property
    def pixel_mm(self) -> float:
        """The smaller of the two spacings, mm."""
        return min(self.row_mm, self.col_mm)

    def level_at(self, points: Floats) -> Floats:
        """Levels at points (..., 2) in mm; not a number outside the frame."""
        where = [points[..., 1] / self.row_mm, points[..., 0] / self.col_mm]
        return np.asarray(ndimage.map_coordinates(self.levels, where, order=1, mode="constant", cval=np.nan))


def smoothed(values: Floats, row_mm: float, col_mm: float) -> Bone:
    """A frame made ready for edges."""
    return Bone(np.asarray(ndimage.gaussian_filter(values, SMOOTHING_PX), np.float64), row_mm, col_mm)


def edge_points(bone: Bone, circle: Circle, band: float) -> tuple[Floats, NDArray[np.bool_]]:
    """The steepest fall outward along each ray within ``band`` of the radius: points (RAYS, 2) in mm, and which count.

    A ray does not count when it leaves the frame or falls too little to be the edge of marrow.
    """
    angles = np.arange(RAYS) * (2 * np.pi / RAYS)
    step = STEP_PX * bone.pixel_mm
    radii = np.arange((1 - band) * circle.radius, (1 + band) * circle.radius, step)
    outward = np.stack([np.cos(angles), np.sin(angles)], axis=-1)
    centre = np.array([circle.x, circle.y])
    levels = bone.level_at(centre + outward[:, None, :] * radii[None, :, None])
    fall = -np.gradient(levels, axis=1) / STEP_PX
    inside = np.isfinite(fall).all(axis=1)
    fall = np.nan_to_num(fall, nan=0.0)
    peak = np.clip(fall.argmax(axis=1), 1, len(radii) - 2)
    rays = np.arange(RAYS)
    before, at, after = fall[rays, peak - 1], fall[rays, peak], fall[rays, peak + 1]
    bend = before - 2 * at + after
    shift = np.where(bend < 0, np.clip((before - after) / (2 * np.where(bend < 0, bend, -1)), -0.5, 0.5), 0.0)
    points = centre + outward * (radii[peak] + shift * step)[:, None]
    return points, inside & (at >= LEAST_SLOPE * marrow_level(bone, circle))


def marrow_level(bone: Bone, circle: Circle) -> float:
    """Median level in the middle of the circle; 0 when it lies outside the frame."""
    rows, columns = np.ogrid[: bone.levels.shape[0], : bone.levels.shape[1]]
    near = np.hypot(columns * bone.col_mm - circle.x, rows * bone.row_mm - circle.y) < MARROW_PART * circle.radius
    return float(np.median(bone.levels[near])) if near.any() else 0.0
