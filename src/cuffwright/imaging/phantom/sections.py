"""Slices through the invented body: three planes, partial volume through the slice, blur in it, and noise."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from cuffwright.anatomy.turning import UP, turn_about
from cuffwright.imaging.phantom.body import CUFF_MUSCLE, FAT, MUSCLE, Floats, InventedBody
from cuffwright.imaging.slice_plane import SlicePlane, Vector

Way = Literal["coronal", "sagittal", "axial"]

SIGNAL = np.array([15.0, 700.0, 300.0, 80.0, 1000.0, 60.0, 650.0, 450.0, 300.0])
"""Numerical choice: invented signal of the tissues, in the order of their numbers."""

LAYERS = 3
"""Numerical choice: sheets through the thickness of a slice whose mean is drawn."""

BLUR_PX = 0.5
"""Numerical choice: SD of the blur within a slice, pixels."""

CENTRES: dict[Way, float] = {"coronal": 6.0, "sagittal": -18.0, "axial": 0.0}
"""Numerical choice: where the middle slice lies beside the head centre: behind, lateral, above, mm."""


@dataclass(frozen=True)
class Protocol:
    """How a series is taken: pixels per side, their size (mm), step between slices (mm), how many, noise (SD of the
    signal), and by how much the planes are turned about the upright axis (degrees) and shifted (part of a step).
    """

    pixels: int = 256
    pixel_mm: float = 0.6
    step_mm: float = 3.5
    count: int = 20
    noise: float = 25.0
    turned_degrees: float = 0.0
    shifted: float = 0.0


DEFAULT: dict[Way, Protocol] = {
    "coronal": Protocol(count=18),
    "sagittal": Protocol(count=28),
    "axial": Protocol(count=14),
}
"""A usual examination."""


def axes(body: InventedBody, way: Way, protocol: Protocol) -> tuple[Floats, Floats, Floats]:
    """Along a row, along a column and out of the slice, unit vectors in the body's axes.

    Rows run to the patient's left or backwards, columns to the feet or backwards, as pictures are hung.
    """
    turned = turn_about(UP, protocol.turned_degrees)
    lateral, behind = turned @ body.humerus.lateral, turned @ body.humerus.axes[2]
    down = np.array([0.0, -1.0, 0.0])
    left = lateral if body.side == "left" else -lateral
    if way == "coronal":
        return left, down, behind
    if way == "sagittal":
        return behind, down, lateral
    return left, behind, -down


def planes(body: InventedBody, way: Way, protocol: Protocol) -> tuple[SlicePlane, ...]:
    """The slices of a series in the patient."""
    row, column, out = axes(body, way, protocol)
    half = (protocol.pixels - 1) / 2 * protocol.pixel_mm
    found = []
    for number in range(protocol.count):
        away = CENTRES[way] + (number - (protocol.count - 1) / 2 + protocol.shifted) * protocol.step_mm
        corner = out * away - (row + column) * half
        found.append(
            SlicePlane(
                _vector(body.to_patient(corner)),
                _vector(body.direction(row)),
                _vector(body.direction(column)),
                protocol.pixel_mm,
                protocol.pixel_mm,
            )
        )
    return tuple(found)


def draw(body: InventedBody, plane: SlicePlane, protocol: Protocol, rng: np.random.Generator) -> NDArray[np.uint16]:
    """The picture (rows x columns) of one slice: mean signal through its thickness, blurred, with Rician noise."""
    across = np.arange(protocol.pixels) * protocol.pixel_mm
    corner, row, column = (np.array(v) for v in (plane.position, plane.along_row, plane.along_column))
    flat = corner + across[:, None, None] * column + across[None, :, None] * row
    normal = np.array(plane.normal)
    signal = _signals(body)
    total = np.zeros((protocol.pixels, protocol.pixels))
    for layer in range(LAYERS):
        off = ((layer + 0.5) / LAYERS - 0.5) * protocol.step_mm
        points = body.from_patient(flat + off * normal).reshape(-1, 3)
        total += signal[body.tissue(points)].reshape(total.shape)
    blurred = ndimage.gaussian_filter(total / LAYERS, BLUR_PX)
    real, imaginary = rng.normal(0, protocol.noise, (2, *blurred.shape))
    return np.asarray(np.rint(np.hypot(blurred + real, imaginary)), np.uint16)


def _signals(body: InventedBody) -> Floats:
    signal = SIGNAL.copy()
    signal[CUFF_MUSCLE] = (1 - body.muscle_fat) * SIGNAL[MUSCLE] + body.muscle_fat * SIGNAL[FAT]
    return signal


def _vector(values: Floats) -> Vector:
    x, y, z = values.tolist()
    return x, y, z
