"""Samples of the dossier that had no test: two real files, and those of packages that cannot be installed, made anew.

What cannot be installed here (an npm package, a source archive) is written after its description on a real header.
"""

import numpy as np
import pydicom
import pytest
from pydicom.uid import ImplicitVRLittleEndian, JPEGLSNearLossless

from cuffwright.imaging.intake.taking_in import take_in
from cuffwright.imaging.picture import read_picture, read_stored
from tests.imaging.conftest import apply

XA = "1.2.840.10008.5.1.4.1.1.12.1"
NO_PLACE = dict.fromkeys(("PixelSpacing", "ImagePositionPatient", "ImageOrientationPatient"))


def made(real, place, name, frames=1, **changes):
    """A copy of a real file with elements changed and its picture repeated."""
    dataset = pydicom.dcmread(real(name))
    apply(dataset, changes)
    if frames > 1:
        dataset.NumberOfFrames = frames
        dataset.PixelData = dataset.PixelData * frames
    dataset.save_as(place)
    return place


def test_a_sequence_encoded_wrongly_inside_an_unknown_element_is_read(real):
    """F26 (bad_sequence.dcm): CT of the neck, 0.287109 mm, two windows; it is read and measures."""
    picture = read_picture(real("bad_sequence.dcm"))
    assert (picture.plane, picture.modality) == ("patient", "CT")
    assert picture.scale.row_mm == pytest.approx(0.287109375)
    assert [float(one) for one in pydicom.dcmread(real("bad_sequence.dcm")).WindowCenter] == [40, 450]
    (series,) = take_in([real("bad_sequence.dcm")]).series
    assert series.can_measure.startswith("lengths")


def test_a_slice_alone_has_no_step_whatever_its_tag_says(real):
    """F27 (693_UNCR.dcm): thickness 5, spacing tag 20: one slice has no step, and the tag is not taken for one."""
    header = pydicom.dcmread(real("693_UNCR.dcm"))
    assert (header.SliceThickness, header.SpacingBetweenSlices) == (5, 20)
    (series,) = take_in([real("693_UNCR.dcm")]).series
    assert series.stack.step_mm is None
    assert not series.stack.even


def test_mr_frames_without_spacing_give_no_length(real, tmp_path):
    """As F13 ("MR", 16 frames, no spacing, no orientation): every frame is class none."""
    place = made(real, tmp_path / "frames.dcm", "MR_small.dcm", frames=16, **NO_PLACE)
    found = take_in([place]).pictures
    assert len(found) == 16
    assert {one.plane for one in found} == {"none"}


def test_a_cine_of_a_projection_gives_no_length(real, tmp_path):
    """As F36 (XA, 96 frames, no spacing, no distances): class none, and its frames can be turned."""
    elements = {**NO_PLACE, "SOPClassUID": XA, "Modality": "XA", "FrameIncrementPointer": None}
    place = made(real, tmp_path / "cine.dcm", "MR_small.dcm", frames=96, **elements)
    found = take_in([place]).pictures
    assert (len(found), {one.plane for one in found}) == (96, {"none"})


def test_a_spacing_of_exactly_one_is_told_to_be_checked(real, tmp_path):
    """As F37 (a coronal reformat of a CT, spacing exactly 1 by 1): measured, and called a likely placeholder."""
    turned = {"ImageOrientationPatient": [1, 0, 0, 0, 0, -1], "PixelSpacing": [1.0, 1.0]}
    picture = read_picture(made(real, tmp_path / "one.dcm", "CT_small.dcm", **turned))
    assert picture.plane == "patient"
    assert any("exactly 1 by 1 mm" in note for note in picture.warnings)


def test_a_second_ct_in_the_plainest_syntax_is_read(real, tmp_path):
    """As F38 (CT, 1.074219 mm, 3 mm, implicit VR): the spacing and the values of its explicit twin."""
    changes = {"PixelSpacing": [1.074219, 1.074219], "SliceThickness": 3}
    one = made(real, tmp_path / "one.dcm", "CT_small.dcm", **changes)
    dataset = pydicom.dcmread(one)
    dataset.file_meta.TransferSyntaxUID = ImplicitVRLittleEndian
    dataset.save_as(tmp_path / "two.dcm", implicit_vr=True, little_endian=True)
    first, second = (read_picture(place) for place in (one, tmp_path / "two.dcm"))
    assert second.scale == first.scale
    assert second.scale.row_mm == pytest.approx(1.074219)
    assert np.array_equal(read_stored(first)[0], read_stored(second)[0])


def test_a_near_lossless_copy_differs_by_what_it_says_and_is_called_lossy(real, tmp_path):
    """As D-44 (JPEG-LS, near 4, of F1, ratio 7): no value more than 4 off, some off, and the picture says lossy."""
    dataset = pydicom.dcmread(real("MR2_UNCR.dcm"))
    dataset.compress(JPEGLSNearLossless, jls_error=4, encoding_plugin="pyjpegls")
    apply(dataset, {"LossyImageCompression": "01", "LossyImageCompressionRatio": 7})
    dataset.save_as(tmp_path / "near.dcm")
    picture = read_picture(tmp_path / "near.dcm")
    off = np.abs(read_stored(picture)[0].astype(int) - read_stored(read_picture(real("MR2_UNCR.dcm")))[0].astype(int))
    assert 0 < off.max() <= 4
    assert any(note.startswith("lossy compression, 7 to 1") for note in picture.warnings)
