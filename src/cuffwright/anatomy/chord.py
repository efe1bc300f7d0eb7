"""Chord and arc: an image shows the straight distance, the chart holds the way along the bone."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from cuffwright.case.errors import CaseError


def arc_from_chord(chord: float, radius: float) -> float:
    """Arc (mm) over a ``chord`` (mm) of a circle of ``radius`` (mm).

    Raises
    ------
    CaseError
        When the chord is negative or longer than the diameter.
    """
    if not 0 <= chord <= 2 * radius:
        raise CaseError(f"a straight {chord} mm does not fit a circle of radius {radius:.1f} mm; measure again")
    return float(2 * radius * np.arcsin(chord / (2 * radius)))


def chord_from_arc(arc: float, radius: float) -> float:
    """Chord (mm) under an ``arc`` (mm, up to half a circle) of ``radius`` (mm).

    Raises
    ------
    CaseError
        When the arc is negative or longer than half the circle.
    """
    if not 0 <= arc <= np.pi * radius:
        raise CaseError(f"an arc of {arc} mm is more than half a circle of radius {radius:.1f} mm; measure again")
    return float(2 * radius * np.sin(arc / (2 * radius)))


def span_between(place: Callable[[float], NDArray[np.float64]], front: float, back: float) -> float:
    """Straight distance (mm) between the places at two u."""
    return float(np.linalg.norm(place(back) - place(front)))


def span_from_chord(
    place: Callable[[float], NDArray[np.float64]], chord: float, front: float, farthest: float
) -> float:
    """u span (mm) behind ``front`` whose straight distance is ``chord``, searched up to ``farthest``.

    Raises
    ------
    CaseError
        When the chord is negative or longer than any found.
    """
    if not 0 <= chord <= span_between(place, front, front + farthest):
        raise CaseError(f"no two places on this bone are {chord} mm apart behind u {front:.1f}; measure again")
    return float(brentq(lambda span: span_between(place, front, front + span) - chord, 0.0, farthest))
