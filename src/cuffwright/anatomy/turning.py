"""Turns about an axis, as matrices: how a limb or a bone is swung."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FORWARD, UP, LATERAL = 0, 1, 2
"""Places of the three directions in humerus and scapula frame of the canonical right shoulder."""


def turn_about(axis: int, degrees: ArrayLike) -> Floats:
    """Right-handed turn matrices (..., 3, 3) about a frame axis by ``degrees`` (...,)."""
    angle = np.radians(np.asarray(degrees, dtype=np.float64))
    one, other = (axis + 1) % 3, (axis + 2) % 3
    turn = np.zeros((*angle.shape, 3, 3))
    turn[..., axis, axis] = 1
    turn[..., one, one] = turn[..., other, other] = np.cos(angle)
    turn[..., one, other] = -np.sin(angle)
    turn[..., other, one] = np.sin(angle)
    return turn


def unit(vector: Floats) -> Floats:
    """The vector (..., 3) at length 1."""
    return np.asarray(vector / np.linalg.norm(vector, axis=-1, keepdims=True))


def carried(turn: Floats, points: Floats) -> Floats:
    """Points (..., 3) turned by matrices (..., 3, 3), leading dimensions broadcast."""
    return np.asarray(np.einsum("...ij,...j->...i", turn, points))
