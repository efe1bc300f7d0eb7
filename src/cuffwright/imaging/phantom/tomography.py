"""The invented body as a CT: axial slices in Hounsfield values, with blur and noise, from head to shaft."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydicom.uid import CTImageStorage
from scipy import ndimage

from cuffwright.imaging.phantom.body import Floats, InventedBody
from cuffwright.imaging.phantom.sections import Protocol
from cuffwright.imaging.phantom.writing import Study, base_dataset, put_pixels, put_place, save
from cuffwright.imaging.slice_plane import SlicePlane

HOUNSFIELD = np.array([-1000.0, -90.0, 50.0, 60.0, 10.0, 900.0, 120.0, 80.0, 45.0])
"""Numerical choice: invented values of the tissues in Hounsfield units, in the order of their numbers."""

AIR_STORED = 1024
"""Numerical choice: stored value of 0 Hounsfield units, as scanners write it."""

SERIES = 4
"""Numerical choice: number of the CT among the invented series."""


@dataclass(frozen=True)
class Scan:
    """How the CT is taken: pixels per side, their size (mm), step between slices (mm), how far above and below the head
    centre it reaches (mm), SD of the blur in a slice (pixels) and of the noise (HU).
    """

    pixels: int = 150
    pixel_mm: float = 0.8
    step_mm: float = 1.5
    above_mm: float = 45.0
    below_mm: float = 75.0
    blur_px: float = 0.6
    noise: float = 25.0


def write_ct(study: Study, body: InventedBody, scan: Scan | None = None) -> list[Path]:
    """Write the CT; returns the files from foot to head."""
    plan = scan or Scan()
    rng = np.random.default_rng((study.seed, SERIES))
    protocol = Protocol(pixels=plan.pixels, pixel_mm=plan.pixel_mm, step_mm=plan.step_mm)
    written = []
    heights = np.arange(-plan.below_mm, plan.above_mm, plan.step_mm)
    for index, height in enumerate(heights.tolist()):
        dataset = base_dataset(study, body, CTImageStorage, "CT", SERIES, index)
        dataset.SeriesDescription = "INVENTED CT"
        dataset.FrameOfReferenceUID = study.uid("space")
        dataset.PositionReferenceIndicator = ""
        dataset.KVP, dataset.SliceThickness, dataset.PatientPosition = 120, plan.step_mm, "HFS"
        put_place(dataset, _plane(body, plan, height), protocol)
        values = _slice(body, plan, height, rng)
        put_pixels(dataset, np.clip(np.rint(values) + AIR_STORED, 0, None).astype(np.uint16), 4 * 1024)
        dataset.RescaleIntercept, dataset.RescaleSlope, dataset.RescaleType = -AIR_STORED, 1, "HU"
        dataset.WindowCenter, dataset.WindowWidth = 300, 1500
        written.append(save(study, dataset, f"ct_{index:03d}.dcm"))
    return written


def _corner(plan: Scan, height: float) -> tuple[float, float, float]:
    half = (plan.pixels - 1) / 2 * plan.pixel_mm
    return -half, -half, height


def _plane(body: InventedBody, plan: Scan, height: float) -> SlicePlane:
    """A slice square to the upright axis, rows to the patient's left, columns backwards."""
    left, behind, up = _corner(plan, height)
    x, y, z = (body.to_patient(np.zeros(3)) + np.array([left, behind, up])).tolist()
    return SlicePlane((x, y, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), plan.pixel_mm, plan.pixel_mm)


def _slice(body: InventedBody, plan: Scan, height: float, rng: np.random.Generator) -> NDArray[np.float64]:
    grid = np.arange(plan.pixels) * plan.pixel_mm
    left, behind, _ = _corner(plan, height)
    centre = body.to_patient(np.zeros(3))
    flat = np.zeros((plan.pixels, plan.pixels, 3))
    flat[..., 0], flat[..., 1] = (grid + left)[None, :], (grid + behind)[:, None]
    total: Floats = np.zeros((plan.pixels, plan.pixels))
    for part in (-0.25, 0.25):
        flat[..., 2] = height + part * plan.step_mm
        points = body.from_patient(centre + flat).reshape(-1, 3)
        total += HOUNSFIELD[body.tissue(points)].reshape(total.shape)
    return np.asarray(ndimage.gaussian_filter(total / 2, plan.blur_px) + rng.normal(0, plan.noise, total.shape))
