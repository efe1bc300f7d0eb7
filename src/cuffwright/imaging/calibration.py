"""Magnification of a projection, and scale from an object of known size marked by hand.

A beam spreads: ``M = SID / (SID - OID)``; true size is size at the detector divided by ``M`` (PS3.3, C.8.7.6).
Spacing is never inferred from the size of a cassette.
"""

import math
from dataclasses import dataclass

from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.scale import Scale

Point = tuple[float, float]
"""Column and row in pixels, pixel centres at whole numbers from 0."""


def magnification(source_to_detector_mm: float, object_to_detector_mm: float) -> float:
    """Size at the detector over true size, for an object at a distance from the detector.

    Raises
    ------
    ImageError
        Unless the object lies between the source and the detector.

    Examples
    --------
    >>> round(magnification(1000, 70), 4)
    1.0753
    """
    if not (0 <= object_to_detector_mm < source_to_detector_mm < math.inf):
        raise ImageError("the object must lie between source and detector; check both distances")
    return source_to_detector_mm / (source_to_detector_mm - object_to_detector_mm)


@dataclass(frozen=True)
class Calibration:
    """A scale made by hand: the object, its length in mm, the two ends in pixels, who marked it and when.

    ``drawn_px`` is how long the object is drawn, which tells how far the hand may miss it; 0 for a stated
    magnification, whose own error is ``relative_sd``.
    """

    scale: Scale
    known: str
    known_mm: float
    start: Point
    end: Point
    by: str
    at: str
    sop_instance_uid: str
    drawn_px: float = 0.0
    relative_sd: float = 0.0

    def relative_error(self, click_px: float) -> float:
        """SD of the scale as a part of it, from a hand that misses each end by ``click_px`` pixels."""
        hand = math.sqrt(2) * click_px / self.drawn_px if self.drawn_px else 0.0
        return math.hypot(hand, self.relative_sd)


def calibrate(
    picture: Picture, start: Point, end: Point, *, known: str, known_mm: float, by: str, at: str
) -> Calibration:
    """Scale a projection by two points on an object of known length.

    Parameters
    ----------
    picture
        Kept with the calibration, which holds for no other image.
    start, end
        Ends of the object, pixels.
    known, known_mm
        What the object is and its true length in mm.
    by, at
        Who marked it, and when (ISO 8601).

    Raises
    ------
    ImageError
        When the image is already a slice of the patient, a point is outside, the ends fall together, or the length
        is not above 0.
    """
    picture.check_inside(start, end)
    if picture.plane == "patient":
        raise ImageError("the image already has its scale in the patient's plane; do not calibrate it by hand")
    if not (math.isfinite(known_mm) and known_mm > 0):
        raise ImageError(f"the known length must be above 0 mm, not {known_mm:g}; enter it again")
    row, column = picture.scale.row_mm or 1.0, picture.scale.col_mm or 1.0
    drawn = math.hypot((end[0] - start[0]) * column, (end[1] - start[1]) * row)
    if drawn == 0:
        raise ImageError("both ends of the known object are the same point; mark two")
    factor = known_mm / drawn
    note = "valid only at the depth of the marked object and near the central ray"
    scale = Scale(row * factor, column * factor, "calibrated-fiducial", f"marked object: {known}", (note,))
    long_px = math.hypot(end[0] - start[0], end[1] - start[1])
    return Calibration(scale, known, known_mm, start, end, by, at, picture.sop_instance_uid, drawn_px=long_px)


def state_magnification(picture: Picture, factor: float, sd: float, *, known: str, by: str, at: str) -> Calibration:
    """Scale a projection by a stated magnification, which brings the detector's spacing to the bone.

    Parameters
    ----------
    picture
        With the spacing of its detector.
    factor, sd
        Size at the detector over true size, and the SD of that number: distances are rarely known to the centimetre.
    known
        Where the number comes from.
    by, at
        Who stated it, and when (ISO 8601).

    Raises
    ------
    ImageError
        When the image does not carry its detector's spacing, or the numbers are impossible.
    """
    if picture.plane != "detector" or picture.scale.row_mm is None or picture.scale.col_mm is None:
        raise ImageError(
            "a magnification needs the spacing at the detector, which the image does not carry; mark an object"
        )
    if not (math.isfinite(factor) and factor >= 1 and math.isfinite(sd) and 0 <= sd < factor):
        raise ImageError(f"a magnification of {factor:g} with SD {sd:g} is impossible; it is 1 or more, its SD smaller")
    note = "valid only at the depth the magnification was stated for"
    scale = Scale(
        picture.scale.row_mm / factor,
        picture.scale.col_mm / factor,
        "calibrated-geometry",
        f"stated magnification: {known}",
        (note,),
    )
    nowhere = (0.0, 0.0)
    uid = picture.sop_instance_uid
    return Calibration(scale, known, 0.0, nowhere, nowhere, by, at, uid, relative_sd=sd / factor)
