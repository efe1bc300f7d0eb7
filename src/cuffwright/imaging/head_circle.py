"""The humeral head as a circle on a coronal MR slice, found from rough marks on its round edge.

The marks only say where to look. Edges of bright marrow are sought along rays, the longest arc that one circle
explains is kept, and the circle is fitted to it; this is repeated from disturbed starts, and what they disagree
enters the spread.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.case.measurement import Measurement
from cuffwright.imaging.bone_edge import RAYS, Bone, edge_points, marrow_level, smoothed
from cuffwright.imaging.calibration import Point
from cuffwright.imaging.circle import Circle, Floats, agreeing_arc, arc_degrees, refined, through
from cuffwright.imaging.picture import Picture, read_stored
from cuffwright.imaging.ruler import EVEN_VARIANCE
from cuffwright.imaging.slice_plane import Vector
from cuffwright.imaging.window import modality_values

HEAD_RADIUS_KEY = "imaging.head.radius"
WHOLE_ARC_KEY = "imaging.head.whole_arc"

BANDS = (0.3, 0.2, 0.15, 0.15, 0.15, 0.15)
"""Numerical choice: part of the radius within which edges are sought, round after round."""

TOLERANCE_PX = 1.5
"""Numerical choice: how far an edge may lie from the circle and still belong to it, pixels."""

BRIDGE_RAYS = 6
"""Numerical choice: an arc may step over this many missing rays, twelve degrees."""

LEAST_ARC_DEG = 60.0
"""Numerical choice: on a shorter arc the radius is too loose to be given at all."""

PLACES = 2
"""Numerical choice: decimals of a mm kept of a length read off an image."""

LEAST_RAYS = 20
"""Numerical choice: fewer kept rays give no circle."""

STRAY = 0.1
"""Numerical choice: starts are disturbed by this part of the radius, in place and in size."""

FAR_MARK = 0.15
"""Numerical choice: marks farther from the circle than this part of its radius are pointed out."""


@dataclass(frozen=True)
class HeadCircle:
    """The fitted circle: centre in pixels and in the patient (mm), radius and diameter as measurements (mm).

    ``complete`` is false when the kept arc is too short for the whole head to be judged; ``warnings`` were found on
    this image, ``cannot_know`` holds for every such fit and is to be shown with it.
    """

    centre: Point
    centre_patient: Vector | None
    centre_sd_mm: float
    radius: Measurement
    diameter: Measurement
    arc_deg: float
    kept_rays: int
    rms_mm: float
    restart_sd_mm: float
    complete: bool
    warnings: tuple[str, ...]
    cannot_know: tuple[str, ...]


@dataclass(frozen=True)
class _Fit:
    circle: Circle
    inverse: Floats
    points: Floats
    kept: NDArray[np.bool_]


def fit_head_circle(picture: Picture, marks: Sequence[Point], book: FactBook) -> HeadCircle:
    """Fit the head from three or more rough marks on its round edge.

    Parameters
    ----------
    picture
        An MR slice with its place in the patient and bright marrow.
    marks
        ``(x, y)`` in pixels.
    book
        Evidence with the published range of head radii and the arc that counts as whole.

    Raises
    ------
    ImageError
        When the image is no such slice, the marks give no circle, or no round edge is found near them.
    """
    picture.check_inside(*marks)
    if picture.modality != "MR":
        raise ImageError(f"the head is fitted on MR slices, not on {picture.modality or 'this image'}; mark it by hand")
    row_mm, col_mm = picture.scale.spacing_at(*marks)
    marked = np.array(marks, np.float64).reshape(-1, 2) * (col_mm, row_mm)
    start = through(marked)
    stored, header = read_stored(picture)
    if stored.ndim != 2:
        raise ImageError("the head is fitted on grey pictures, not on colour; choose an MR slice")
    bone = smoothed(modality_values(stored, header), row_mm, col_mm)
    fits = [found for begin in _starts(start) if (found := _follow(bone, begin))]
    if not fits:
        raise ImageError("no round edge of bright marrow is found near the marks; mark the head's edge again")
    best = max(fits, key=lambda fit: int(fit.kept.sum()))
    near = [fit for fit in fits if abs(fit.circle.radius - best.circle.radius) <= STRAY * best.circle.radius]
    return _report(picture, bone, marked, best, near, len(fits) - len(near), book)


def _starts(start: Circle) -> list[Circle]:
    move = STRAY * start.radius
    shifts = ((0, 0, 0), (1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))
    return [Circle(start.x + a * move, start.y + b * move, start.radius + c * move) for a, b, c in shifts]


def _follow(bone: Bone, circle: Circle) -> _Fit | None:
    found: _Fit | None = None
    for band in BANDS:
        if marrow_level(bone, circle) <= 0 or circle.radius * band < 2 * bone.pixel_mm:
            return None
        points, usable = edge_points(bone, circle, band)
        kept = agreeing_arc(points, usable, TOLERANCE_PX * bone.pixel_mm, BRIDGE_RAYS)
        if kept.sum() < LEAST_RAYS or arc_degrees(kept) < LEAST_ARC_DEG:
            return None
        circle, inverse = refined(circle, points[kept])
        found = _Fit(circle, inverse, points, kept)
    return found


def _report(
    picture: Picture, bone: Bone, marked: Floats, best: _Fit, near: list[_Fit], lost: int, book: FactBook
) -> HeadCircle:
    circle = best.circle
    misses = circle.misses(best.points[best.kept])
    rms = float(np.sqrt(np.mean(misses**2)))
    grid = bone.pixel_mm * math.sqrt(EVEN_VARIANCE)
    covariance = best.inverse * (rms**2 + grid**2) * len(misses) / _independent(misses)
    restart = float(np.std([fit.circle.radius for fit in near]))
    # the grid enters once more, undivided: where an edge falls within its pixel is common to all rays
    radius_sd = math.sqrt(float(covariance[2, 2]) + grid**2 / 2 + restart**2)
    centre = (circle.x / bone.col_mm, circle.y / bone.row_mm)
    picture.check_inside(centre)
    arc = arc_degrees(best.kept)
    complete = arc >= book.fact(WHOLE_ARC_KEY).value
    trace = f"image {picture.short_uid} head circle from marks " + "-".join(
        f"({x / bone.col_mm:g},{y / bone.row_mm:g})" for x, y in marked.tolist()
    )
    return HeadCircle(
        centre=centre,
        centre_patient=picture.patient_point(*centre) if picture.slice_plane else None,
        centre_sd_mm=math.sqrt(float(covariance[0, 0] + covariance[1, 1]) + grid**2),
        radius=_read_off(circle.radius, radius_sd, trace),
        diameter=_read_off(2 * circle.radius, 2 * radius_sd, trace),
        arc_deg=arc,
        kept_rays=int(best.kept.sum()),
        rms_mm=rms,
        restart_sd_mm=restart,
        complete=complete,
        warnings=_warnings(circle, marked, arc, complete, lost, book),
        cannot_know=_cannot_know(circle, picture),
    )


def _independent(misses: Floats) -> float:
    """How many independent points a row of neighbouring misses is worth, from how alike neighbours are."""
    spread = float(np.sum(misses**2))
    alike = float(np.sum(misses[1:] * misses[:-1])) / spread if spread > 0 else 0.0
    worth = len(misses) * (1 - alike) / (1 + alike) if alike > 0 else float(len(misses))
    return max(worth, 3.0)


def _warnings(circle: Circle, marked: Floats, arc: float, complete: bool, lost: int, book: FactBook) -> tuple[str, ...]:
    notes = []
    if not complete:
        notes.append(f"only {arc:.0f} degrees of the circle are seen: the fit is incomplete")
    published = book.fact(HEAD_RADIUS_KEY)
    low, high = published.low or 0.0, published.high or math.inf
    if not low <= circle.radius <= high:
        notes.append(f"a radius of {circle.radius:.1f} mm lies outside the published {low:g} to {high:g} mm")
    if lost:
        notes.append(f"{lost} of the disturbed starts ended on another circle: look whether this one is the head")
    far = int(np.sum(np.abs(circle.misses(marked)) > FAR_MARK * circle.radius))
    if far:
        notes.append(f"{far} of the marks lie far from the circle: look whether it is the edge that was meant")
    return tuple(notes)


def _read_off(value: float, sd: float, trace: str) -> Measurement:
    """A length read off an image, kept to the hundredth of a mm: finer than its spread."""
    return Measurement(round(value, PLACES), round(sd, PLACES), "image", trace)


def _cannot_know(circle: Circle, picture: Picture) -> tuple[str, ...]:
    known = [
        f"whether the round edge near the marks is the humeral head (looked along {RAYS} rays, it is only round)",
        "where the cartilage ends: the edge is that of the bone's marrow",
        "whether the head is a sphere: one slice shows one circle",
    ]
    if picture.slice_step_mm:
        off = picture.slice_step_mm / 2
        short = 2 * (math.hypot(circle.radius, off) - circle.radius)
        known.append(
            f"whether the slice passes through the centre: half a slice ({off:.1f} mm) beside it, "
            f"the diameter reads {short:.1f} mm too small"
        )
    else:
        known.append("whether the slice passes through the centre: beside it, the diameter reads too small")
    return tuple(known)
