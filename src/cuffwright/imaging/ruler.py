"""Two marked points to a length with its spread, where the image allows one."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.case.measurement import Measurement
from cuffwright.imaging.calibration import Calibration, Point
from cuffwright.imaging.picture import Picture, read_picture
from cuffwright.imaging.scale import Plane, Scale
from cuffwright.imaging.slice_plane import Vector

EVEN_VARIANCE = 1 / 12
"""Numerical choice: variance of a position that is even over one pixel, in squared pixels (a uniform spread)."""

CLICK_KEY = "imaging.click.sd_px"


@dataclass(frozen=True)
class Length:
    """A length in mm as a measurement, the two points, their place in the patient, and the parts of the spread.

    ``assumed`` names the evidence rows behind the spread that nobody has verified.
    """

    measurement: Measurement
    start: Point
    end: Point
    start_patient: Vector | None
    end_patient: Vector | None
    plane: Plane
    grid_sd_mm: float
    click_sd_mm: float
    assumed: tuple[str, ...]
    warnings: tuple[str, ...]


def measure(
    source: Path | str | Picture,
    start: Point,
    end: Point,
    *,
    frame: int = 0,
    book: FactBook | None = None,
    calibration: Calibration | None = None,
    confirmed: bool = False,
) -> Length:
    """Measure the straight line between two points of one image.

    Parameters
    ----------
    source
        The file, or the picture read from it.
    start, end
        ``(x, y)`` in pixels: column and row, pixel centres at whole numbers from 0.
    frame
        Index from 0, for a file.
    book
        Evidence with the clicking error; without it the spread holds the pixel grid alone, and says so.
    calibration
        Scale marked by hand on this same image.
    confirmed
        Whether a person accepts a calibration the image does not name.

    Raises
    ------
    ImageError
        When the image carries no scale in the patient's plane, a point is no place on it, or both are the same.
    """
    picture = source if isinstance(source, Picture) else read_picture(source, frame=frame)
    picture.check_inside(start, end)
    if start == end:
        raise ImageError("both points are the same, which is no length; mark two")
    scale = trusted_scale(picture, calibration)
    row_mm, col_mm = spacing_at(scale, (start, end), confirmed)
    across, down = (end[0] - start[0]) * col_mm, (end[1] - start[1]) * row_mm
    length = math.hypot(across, down)
    per_pixel = math.hypot(across / length * col_mm, down / length * row_mm)
    grid = per_pixel * math.sqrt(2 * EVEN_VARIANCE)
    click, assumed, click_notes = _clicking(book, per_pixel)
    in_patient = picture.slice_plane is not None and calibration is None
    return Length(
        Measurement(length, math.hypot(grid, click), "image", trace_of(picture, start, end)),
        start,
        end,
        picture.patient_point(*start) if in_patient else None,
        picture.patient_point(*end) if in_patient else None,
        scale.plane,
        grid,
        click,
        assumed,
        (*scale.warnings, *click_notes),
    )


def trace_of(picture: Picture, start: Point, end: Point) -> str:
    """The words that let a second reader repeat a measurement: image, frame if several, and both points."""
    frame = f" frame {picture.frame + 1}" if picture.frames > 1 else ""
    return f"image {picture.short_uid}{frame} ({start[0]:g},{start[1]:g})-({end[0]:g},{end[1]:g})"


def trusted_scale(picture: Picture, calibration: Calibration | None) -> Scale:
    """The scale marked by hand on this same picture, else its own.

    Raises
    ------
    ImageError
        When the calibration belongs to another picture.
    """
    if calibration is not None and calibration.sop_instance_uid != picture.sop_instance_uid:
        raise ImageError("the calibration was marked on another image; mark the known object on this one")
    return calibration.scale if calibration else picture.scale


def spacing_at(scale: Scale, points: Sequence[Point], confirmed: bool) -> tuple[float, float]:
    """Row and column spacing in mm that holds at all of the points.

    Raises
    ------
    ImageError
        As :meth:`~cuffwright.imaging.scale.Scale.spacing_at`, and when the calibration has no name and nobody
        ``confirmed`` it.
    """
    spacing = scale.spacing_at(*points)
    if scale.plane == "calibrated-unknown" and not confirmed:
        raise ImageError(
            "the image is calibrated in a way it does not name, so no length is given yet; confirm the calibration"
        )
    return spacing


def _clicking(book: FactBook | None, per_pixel_mm: float) -> tuple[float, tuple[str, ...], tuple[str, ...]]:
    if book is None:
        return 0.0, (), ("the spread holds the pixel grid only, not the hand that marks",)
    row = book.fact(CLICK_KEY)
    sd = per_pixel_mm * row.value * math.sqrt(2)
    return sd, () if row.verified else (row.key,), ()
