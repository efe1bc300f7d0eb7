"""Pixel to patient on the real shoulder: PS3.3 C.7.6.2.1.1."""

import numpy as np
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.slice_plane import letters


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        (0, 0, (-180.0582, -97.1478, 112.8280)),
        (1023, 0, (-66.2720, 67.0923, 112.8280)),
        (0, 1023, (-180.0582, -97.1478, -86.9772)),
        (512, 512, (-123.1095, -14.9475, 12.8277)),
    ],
    ids=["D-10", "D-11", "D-12", "D-13"],
)
def test_pixels_lie_where_the_standard_puts_them(real, x, y, expected):
    """D-10 to D-13: equation C.7.6.2.1-1 on the shoulder MR."""
    assert read_picture(real("MR2_UNCR.dcm")).patient_point(x, y) == pytest.approx(expected, abs=1e-3)


def test_normal_and_field_of_view(real):
    """D-14 and D-15: normal (-0.822001, 0.569486, 0), field 200.0005 mm square."""
    picture = read_picture(real("MR2_UNCR.dcm"))
    assert picture.slice_plane.normal == pytest.approx((-0.822001, 0.569486, 0.0), abs=1e-6)
    assert picture.columns * picture.slice_plane.col_mm == pytest.approx(200.0005, abs=1e-3)
    assert picture.rows * picture.slice_plane.row_mm == pytest.approx(200.0005, abs=1e-3)


@pytest.mark.req("REQ-010")
def test_edge_letters_name_the_sides_of_the_picture(real):
    """D-19: right edge PL, bottom edge F, normal RP."""
    plane = read_picture(real("MR2_UNCR.dcm")).slice_plane
    assert (letters(plane.along_row), letters(plane.along_column), letters(plane.normal)) == ("PL", "F", "RP")


@pytest.mark.req("REQ-009")
def test_the_column_index_uses_the_second_spacing(altered):
    """Row and column spacing are crossed over on purpose: x moves by the second value, y by the first."""
    picture = read_picture(altered("CT_small.dcm", PixelSpacing=[0.3, 0.2]))
    start = np.array(picture.patient_point(0, 0))
    assert np.linalg.norm(np.array(picture.patient_point(10, 0)) - start) == pytest.approx(2.0)
    assert np.linalg.norm(np.array(picture.patient_point(0, 10)) - start) == pytest.approx(3.0)


def test_enhanced_frames_lie_at_their_own_place(real):
    """F14: rows run to the patient's right in this file, so the second column has the smaller x."""
    picture = read_picture(real("eCT_Supplemental.dcm"), frame=1)
    assert picture.slice_plane.along_row == pytest.approx((-1, 0, 0))
    assert picture.patient_point(1, 0)[0] < picture.patient_point(0, 0)[0]


def test_a_tilted_slice_keeps_its_tilt(real):
    """F7: the column direction is 22 degrees off the axis, cosines 0.9272 and -0.3746."""
    plane = read_picture(real("J2K_pixelrep_mismatch.dcm")).slice_plane
    assert plane.along_column == pytest.approx((0, 0.9272, -0.3746), abs=1e-4)


@pytest.mark.parametrize(("x", "y"), [(-0.6, 0), (1023.6, 0), (0, 1024), (float("nan"), 0), (0, float("inf"))])
def test_points_off_the_image_are_refused(real, x, y):
    """A point outside or no number has no place in the patient."""
    with pytest.raises(ImageError, match=r"outside the image|not a number"):
        read_picture(real("MR2_UNCR.dcm")).patient_point(x, y)


def test_an_image_without_place_has_no_points(real):
    """F24: ultrasound without position."""
    with pytest.raises(ImageError, match="no position in the patient"):
        read_picture(real("US1_UNCR.dcm")).patient_point(1, 1)
