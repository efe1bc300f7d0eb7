"""Slices of one orientation in the order of their place in the patient, and what is odd about their spacing.

The order and the step come from positions alone, never from a number, a name or a thickness (PS3.3, C.7.6.2).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.imaging.picture import Picture
from cuffwright.imaging.slice_plane import SlicePlane, Vector

SAME_DIRECTION = 1e-4
"""Numerical choice: how far a cosine may differ between slices of one orientation."""

SAME_PLACE_MM = 1e-3
"""Numerical choice: slices nearer to each other than this are at one place."""

UNEVEN_PART = 0.01
"""Numerical choice: part of the median step by which a step may differ."""

UNEVEN_MM = 0.1
"""Numerical choice: steps that differ by less than this are even, and slices that slide less are not sheared."""

TAG_PART = 0.01
"""Numerical choice: part by which a tag may differ from the step of the places before it is called contradictory."""


@dataclass(frozen=True)
class Stack:
    """Slices in order along their normal: step (mm, median), and whether they form an even volume.

    ``offsets`` are the places along the normal in mm; ``notes`` say what is odd, in words.
    """

    pictures: tuple[Picture, ...]
    normal: Vector
    offsets: tuple[float, ...]
    step_mm: float | None
    even: bool
    notes: tuple[str, ...]


def same_orientation(one: SlicePlane, other: SlicePlane) -> bool:
    """Whether two slices are parallel and turned alike."""
    return all(
        abs(a - b) <= SAME_DIRECTION
        for a, b in zip((*one.along_row, *one.along_column), (*other.along_row, *other.along_column), strict=True)
    )


def stack_of(pictures: Sequence[Picture]) -> Stack:
    """Order pictures of one orientation, each with a place in the patient, and judge their steps."""
    planes = [picture.slice_plane for picture in pictures if picture.slice_plane is not None]
    normal = planes[0].normal
    places = np.array([plane.position for plane in planes])
    offsets = places @ np.array(normal)
    order = np.argsort(offsets, kind="stable")
    offsets, places = offsets[order], places[order]
    sorted_pictures = tuple(pictures[i] for i in order)
    gaps = np.diff(offsets)
    if len(gaps) == 0:
        return Stack(sorted_pictures, normal, tuple(offsets.tolist()), None, False, ())
    step = float(np.median(gaps[gaps > SAME_PLACE_MM])) if (gaps > SAME_PLACE_MM).any() else None
    notes = (*_doubled(gaps), *_uneven(gaps, step), *_sheared(places, gaps, np.array(normal)))
    told = (*notes, *_contradicted(sorted_pictures, step))
    return Stack(sorted_pictures, normal, tuple(offsets.tolist()), step, step is not None and not notes, told)


def _doubled(gaps: NDArray[np.float64]) -> tuple[str, ...]:
    same = gaps <= SAME_PLACE_MM
    sharing = int((np.append(same, False) | np.insert(same, 0, False)).sum())
    return (f"{sharing} slices share places (echoes, times or copies): not one volume",) if sharing else ()


def _uneven(gaps: NDArray[np.float64], step: float | None) -> tuple[str, ...]:
    if step is None:
        return ()
    clear = gaps[gaps > SAME_PLACE_MM]
    odd = clear[np.abs(clear - step) > max(UNEVEN_PART * step, UNEVEN_MM)]
    if not len(odd):
        return ()
    lost = int(np.rint(odd / step - 1).clip(0).sum())
    missing = f", about {lost} slices are missing" if lost else ""
    return (f"the slices are not evenly spaced: steps of {clear.min():.2f} to {clear.max():.2f} mm{missing}",)


def _sheared(places: NDArray[np.float64], gaps: NDArray[np.float64], normal: NDArray[np.float64]) -> tuple[str, ...]:
    slide = np.linalg.norm(np.diff(places, axis=0) - gaps[:, None] * normal, axis=1)
    worst = float(slide.max())
    return (f"neighbouring slices slide by up to {worst:.2f} mm (tilted gantry)",) if worst > UNEVEN_MM else ()


def _contradicted(pictures: Sequence[Picture], step: float | None) -> tuple[str, ...]:
    tags = {picture.slice_step_mm for picture in pictures if picture.slice_step_mm}
    if step is None or not tags:
        return ()
    wrong = [tag for tag in tags if abs(tag - step) > TAG_PART * step]
    if not wrong:
        return ()
    said = " and ".join(f"{tag:g}" for tag in sorted(wrong))
    return (f"its tag says {said} mm between slices, their places say {step:.2f} mm: the places are used",)
