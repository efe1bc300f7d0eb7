"""Where a pixel lies in the patient: PS3.3, C.7.6.2.1.1, axes to the left, posterior and to the head."""

import math
from dataclasses import dataclass

from cuffwright.imaging.header import Header

Vector = tuple[float, float, float]
"""Three numbers along the patient's left, posterior and head axes."""

COSINE_TOLERANCE = 1e-3
"""Numerical choice: how far a direction may be from length 1, and two from a right angle, as written in text."""

SMALL_COMPONENT = 0.05
"""Numerical choice: components of a direction below this are left out of its letters."""


@dataclass(frozen=True)
class SlicePlane:
    """One slice in the patient.

    ``position`` is the centre of the first pixel in mm; ``along_row`` points to growing x (columns), ``along_column``
    to growing y (rows), both of length 1; ``row_mm`` is the distance between rows, ``col_mm`` between columns.
    """

    position: Vector
    along_row: Vector
    along_column: Vector
    row_mm: float
    col_mm: float

    def patient_point(self, x: float, y: float) -> Vector:
        """Patient coordinates in mm of column ``x`` and row ``y``, pixel centres at whole numbers from 0."""
        across, down = self.col_mm * x, self.row_mm * y
        p, r, c = self.position, self.along_row, self.along_column
        return (
            p[0] + r[0] * across + c[0] * down,
            p[1] + r[1] * across + c[1] * down,
            p[2] + r[2] * across + c[2] * down,
        )

    @property
    def normal(self) -> Vector:
        """The direction out of the slice, rows crossed with columns, of length 1."""
        r, c = self.along_row, self.along_column
        return (r[1] * c[2] - r[2] * c[1], r[2] * c[0] - r[0] * c[2], r[0] * c[1] - r[1] * c[0])


def letters(direction: Vector) -> str:
    """The direction in letters L R, P A, H F, the largest component first, small ones left out.

    >>> letters((0.569486, 0.822001, 0.0))
    'PL'
    """
    named = zip(direction, ("LR", "PA", "HF"), strict=True)
    ordered = sorted(((abs(v), pair[0] if v > 0 else pair[1]) for v, pair in named), reverse=True)
    return "".join(letter for size, letter in ordered if size >= SMALL_COMPONENT)


def slice_plane_of(header: Header, row_mm: float, col_mm: float) -> SlicePlane | None:
    """The plane that the header's Image Plane module or functional groups describe, or nothing when not whole.

    Parameters
    ----------
    header
        Looked at for its own frame.
    row_mm, col_mm
        Spacing already judged to be in the patient's plane, mm.
    """
    place = header.group("PlanePositionSequence") or header
    turn = header.group("PlaneOrientationSequence") or header
    position, cosines = place.numbers("ImagePositionPatient"), turn.numbers("ImageOrientationPatient")
    if len(position) != 3 or len(cosines) != 6 or not all(map(math.isfinite, (*position, *cosines))):
        return None
    row, column = cosines[:3], cosines[3:]
    long_row, long_column = math.hypot(*row), math.hypot(*column)
    across = sum(a * b for a, b in zip(row, column, strict=True))
    if max(abs(long_row - 1), abs(long_column - 1), abs(across)) > COSINE_TOLERANCE:
        return None
    return SlicePlane(
        (position[0], position[1], position[2]),
        (row[0] / long_row, row[1] / long_row, row[2] / long_row),
        (column[0] / long_column, column[1] / long_column, column[2] / long_column),
        row_mm,
        col_mm,
    )
