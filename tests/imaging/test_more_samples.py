"""Samples of the packages nibabel and pynetdicom: each read, refused or scaled as the standard says."""

from pathlib import Path

import nibabel
import pynetdicom
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import read_picture

NIBABEL = Path(nibabel.__file__).parent / "nicom" / "tests" / "data"
PYNETDICOM = Path(pynetdicom.__file__).parent / "tests" / "dicom_files"


def test_damaged_meta_is_read_all_the_same():
    """F18: the damaged file and its sound twin say the same of scale and place."""
    one, other = (read_picture(PYNETDICOM / n) for n in ("CTImageStorage_bad_meta.dcm", "CTImageStorage.dcm"))
    assert (one.scale, one.slice_plane) == (other.scale, other.slice_plane)


def test_the_image_plane_of_a_beam_is_brought_to_its_axis():
    """F21, D-05: 0.402 mm at 1600 mm is 0.402 x 1000/1600 = 0.25125 mm at the axis."""
    picture = read_picture(PYNETDICOM / "RTImageStorage.dcm")
    assert picture.scale.row_mm == pytest.approx(0.25125)
    assert picture.plane == "calibrated-geometry"


def test_an_empty_thickness_and_a_projection_of_a_volume():
    """F28: an empty number is no number, and the maximum projection is told as one."""
    picture = read_picture(NIBABEL / "slicethickness_empty_string.dcm")
    assert picture.slice_step_mm is None
    assert any("projection of a volume" in note for note in picture.warnings)


def test_an_object_without_pixels_is_no_picture():
    """F29: the second file of the pair holds no picture; the first names no kind of object and is refused too."""
    with pytest.raises(ImageError, match="holds no picture"):
        read_picture(NIBABEL / "csa_slice_norm.dcm")
    with pytest.raises(ImageError, match="what kind of object"):
        read_picture(NIBABEL / "decimal_rescale.dcm")


@pytest.mark.parametrize("name", ["0.dcm", "1.dcm"])
def test_a_mosaic_gives_no_length(name):
    """F30: many slices in one picture: no scale, and why."""
    picture = read_picture(NIBABEL / name)
    assert picture.plane == "none"
    assert "mosaic" in picture.scale.source
