"""Landmarks looked at before they are believed: coincident, exchanged, mirrored, of the other side."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.side import to_canonical
from cuffwright.anatomy.turning import LATERAL
from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Side
from cuffwright.case.shoulder import Landmark

Floats = NDArray[np.float64]

CLOSE = 3.0
"""Numerical choice: two different landmarks nearer than this (mm) are taken for one point marked twice."""

ODD = 6.0
"""Numerical choice: root mean square miss (mm) above which a set of landmarks is tried mirrored and exchanged."""

BETTER = 0.6
"""Numerical choice: the miss must fall below this share of itself for another reading to be believed."""


def checked(given: tuple[Landmark, ...], known: Mapping[str, Floats], side: Side) -> tuple[Landmark, ...]:
    """The landmarks as on a right shoulder, in the frame they came in; those of a left one are mirrored here, once.

    ``known`` are the landmarks of the mean shoulder (scapula frame).

    Raises
    ------
    CaseError
        When two points coincide, two names are exchanged, or the points are mirrored, of the other side, or turned
        left for right.
    """
    placed = tuple(replace(mark, place_mm=_triple(to_canonical(mark.place_mm, side, mark.frame))) for mark in given)
    for one, other in combinations(placed, 2):
        if np.linalg.norm(np.subtract(one.place_mm, other.place_mm)) < CLOSE:
            raise CaseError(
                f"{one.name} and {other.name} are marked at the same place ({CLOSE:g} mm or less apart); mark one again"
            )
    if len(placed) > 3:
        _check_order(placed, known, side)
    return placed


def _triple(place: Floats) -> tuple[float, float, float]:
    return float(place[0]), float(place[1]), float(place[2])


def _check_order(placed: tuple[Landmark, ...], known: Mapping[str, Floats], side: Side) -> None:
    model = np.array([known[mark.name] for mark in placed])
    points = np.array([mark.place_mm for mark in placed])
    turn, miss = fitted(model, points)
    flipped = points * np.array([-1.0, 1.0, 1.0])
    mirror_turn, mirror_miss = fitted(model, flipped)
    swaps = []
    for i, j in combinations(range(len(placed)), 2):
        changed = points.copy()
        changed[[i, j]] = changed[[j, i]]
        swaps.append((fitted(model, changed)[1], placed[i].name, placed[j].name))
    swap_miss, one, other = min(swaps)
    if miss > ODD and min(mirror_miss, swap_miss) < BETTER * miss:
        if swap_miss < mirror_miss:
            or_mirrored = ", or all are mirrored or of the other side" if mirror_miss < BETTER * miss else ""
            raise CaseError(f"{one} and {other} seem to be exchanged{or_mirrored}; check which is which")
        raise CaseError(_mirrored(mirror_turn, placed[0].frame, side))
    if placed[0].frame == "patient" and turn[0, LATERAL] > 0:
        raise CaseError(
            "the landmarks point the shoulder to the wrong side of the patient: left and right, or front and back, of"
            " the image are turned round; check the orientation of the images"
        )


def _mirrored(turn: Floats, frame: str, side: Side) -> str:
    other = "left" if side == "right" else "right"
    if frame == "patient" and -turn[0, LATERAL] < 0:
        return (
            f"the landmarks are mirrored: they fit the mirror image of a {side} shoulder; check the images for a flip"
        )
    return f"the landmarks are those of a {other} shoulder and the case says {side}; check the side or mirrored images"


def fitted(model: Floats, points: Floats) -> tuple[Floats, float]:
    """Turn (3, 3) that carries ``model`` (n, 3) onto ``points`` best, one scale and shift allowed; and its miss.

    The miss is root mean square, mm. The scale keeps a small shoulder from looking odd.
    """
    first, second = model - model.mean(axis=0), points - points.mean(axis=0)
    left, size, right = np.linalg.svd(first.T @ second)
    signs = np.array([1.0, 1.0, np.sign(np.linalg.det(left @ right))])
    turn = (left * signs @ right).T
    scale = float(np.sum(size * signs) / np.sum(first**2))
    away = second - scale * first @ turn.T
    return np.asarray(turn), float(np.sqrt(np.mean(np.sum(away**2, axis=1))))
