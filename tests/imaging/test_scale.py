"""Scale classes against PS3.3 10.7, C.7.6.2, C.7.6.16, C.8.5.5, C.8.8.2, on real files and altered copies."""

import math

import pydicom
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence

from cuffwright.case.errors import ImageError
from cuffwright.imaging.calibration import magnification
from cuffwright.imaging.header import Header
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.scale import scale_of

CR = "1.2.840.10008.5.1.4.1.1.1"
RT = "1.2.840.10008.5.1.4.1.1.481.1"


def made(kind: str, **elements: object) -> Dataset:
    """A header with a kind of object and the named elements."""
    dataset = Dataset()
    dataset.SOPClassUID = kind
    for keyword, value in elements.items():
        setattr(dataset, keyword, value)
    return dataset


@pytest.mark.parametrize(
    ("name", "plane", "row_mm", "col_mm"),
    [
        ("MR2_UNCR.dcm", "patient", 0.195313, 0.195313),
        ("CT_small.dcm", "patient", 0.661468, 0.661468),
        ("explicit_VR-UN.dcm", "patient", 0.859375, 0.859375),
        ("J2K_pixelrep_mismatch.dcm", "patient", 0.431, 0.431),
        ("dicomdirtests/98892003/MR2/15970", "patient", 1.367188, 1.367188),
        ("eCT_Supplemental.dcm", "patient", 0.388672, 0.388672),
        ("emri_small.dcm", "none", None, None),
        ("RG3_UNCR.dcm", "none", None, None),
        ("RG1_UNCR.dcm", "none", None, None),
        ("dicomdirtests/77654033/CR1/6154", "detector", 0.1, 0.1),
        ("dicomdirtests/98892001/CT2N/6293", "none", None, None),
        ("JPGLosslessP14SV1_1s_1f_8b.dcm", "patient", 0.25476696592378157, 0.25476696592378157),
        ("US1_UNCR.dcm", "none", None, None),
        ("mlut_18.dcm", "none", None, None),
        ("rtdose_1frame.dcm", "none", None, None),
    ],
)
def test_real_files_fall_into_the_class_their_header_allows(real, name, plane, row_mm, col_mm):
    """F1, F5, F25, F7, F12, F14, F16, F2, F3, F4, F10, F23, F24, F32: plane and spacing as the files carry them."""
    scale = read_picture(real(name)).scale
    assert scale.plane == plane
    assert scale.row_mm == (None if row_mm is None else pytest.approx(row_mm, abs=1e-12))
    assert scale.col_mm == (None if col_mm is None else pytest.approx(col_mm, abs=1e-12))


@pytest.mark.parametrize(
    ("elements", "plane", "row_mm"),
    [
        ({"PixelSpacing": [0.3, 0.25], "PixelSpacingCalibrationType": "FIDUCIAL"}, "calibrated-fiducial", 0.3),
        ({"PixelSpacing": [0.3, 0.25], "PixelSpacingCalibrationType": "GEOMETRY"}, "calibrated-geometry", 0.3),
        ({"PixelSpacing": [0.3, 0.25], "ImagerPixelSpacing": [0.33, 0.275]}, "calibrated-unknown", 0.3),
        ({"PixelSpacing": [0.33, 0.275], "ImagerPixelSpacing": [0.33, 0.275]}, "detector", 0.33),
        ({"ImagerPixelSpacing": [0.33, 0.275]}, "detector", 0.33),
        ({"PixelSpacing": [0.3, 0.25]}, "unknown", 0.3),
        ({"PixelSpacing": [0.0, 0.0], "ImagerPixelSpacing": [0.33, 0.275]}, "detector", 0.33),
        ({}, "none", None),
    ],
)
def test_projections_follow_the_reading_rules_of_the_standard(elements, plane, row_mm):
    """PS3.3 10.7: equal means not calibrated, different means calibrated, alone cannot be known."""
    scale = scale_of(Header(made(CR, **elements)))
    assert (scale.plane, scale.row_mm) == (plane, row_mm)


@pytest.mark.req("REQ-006")
@pytest.mark.parametrize(
    "spacing", [[0.0, 0.5], [-0.5, 0.5], [0.5], [0.5, 0.5, 0.5], "x", [math.nan, 1], [math.inf, 1]]
)
def test_unusable_spacing_gives_no_scale(spacing):
    """Zero, negative, infinite, no number, or not two values: class none, even on a slice."""
    dataset = made(
        "1.2.840.10008.5.1.4.1.1.4", ImagePositionPatient=[0, 0, 0], ImageOrientationPatient=[1, 0, 0, 0, 1, 0]
    )
    with pydicom.config.disable_value_validation():
        dataset.add_new(0x00280030, "LO", "\\".join(map(str, spacing)))
    assert scale_of(Header(dataset)).plane == "none"


def test_a_slice_without_its_place_in_the_patient_gives_no_scale(altered):
    """Without a whole Image Plane module the spacing of a slice is not trusted."""
    assert read_picture(altered("MR2_UNCR.dcm", ImageOrientationPatient=None)).plane == "none"
    assert read_picture(altered("MR2_UNCR.dcm", ImageOrientationPatient=[1, 0, 0, 1, 0, 0])).plane == "none"


def test_the_first_value_is_the_row_spacing(altered):
    """PS3.3 10.7.1.3: 0.30\\0.25 means 0.30 mm down and 0.25 mm across."""
    scale = read_picture(altered("CT_small.dcm", PixelSpacing=[0.30, 0.25])).scale
    assert (scale.row_mm, scale.col_mm) == (0.30, 0.25)


def test_enhanced_frames_take_their_own_group_before_the_shared_one(real, tmp_path):
    """F14: spacing stands in the functional groups; a per-frame item wins over the shared one."""
    dataset = pydicom.dcmread(real("eCT_Supplemental.dcm"))
    own = Dataset()
    own.PixelSpacing = [0.5, 0.4]
    holder = dataset.PerFrameFunctionalGroupsSequence[1]
    holder.PixelMeasuresSequence = Sequence([own])
    dataset.save_as(tmp_path / "own.dcm")
    assert "PixelSpacing" not in dataset
    assert read_picture(tmp_path / "own.dcm", frame=1).scale.row_mm == 0.5
    assert read_picture(tmp_path / "own.dcm", frame=0).scale.row_mm == pytest.approx(0.388672)


def test_ultrasound_regions_keep_their_own_scale(real, tmp_path):
    """Two regions, two scales; a line from one into the other is refused; a negative step is only a direction."""
    dataset = pydicom.dcmread(real("JPGLosslessP14SV1_1s_1f_8b.dcm"))
    first = dataset.SequenceOfUltrasoundRegions[0]
    second = Dataset()
    second.update(first)
    first.RegionLocationMaxX1 = 500
    second.RegionLocationMinX0, second.PhysicalDeltaX, second.PhysicalDeltaY = 501, 0.05, -0.04
    dataset.SequenceOfUltrasoundRegions = Sequence([first, second])
    dataset.save_as(tmp_path / "two.dcm")
    scale = read_picture(tmp_path / "two.dcm").scale
    assert scale.spacing_at((100, 100), (200, 100))[1] == pytest.approx(0.25476696592378157)
    assert scale.spacing_at((600, 100), (700, 100)) == pytest.approx((0.4, 0.5))
    with pytest.raises(ImageError, match="one scaled region"):
        scale.spacing_at((100, 100), (700, 100))
    with pytest.raises(ImageError, match="one scaled region"):
        scale.spacing_at((5, 5), (100, 100))


def test_an_rt_image_is_brought_to_the_axis():
    """D-05: 0.402 mm, SID 1600, SAD 1000 give 0.402 x 1000 / 1600 = 0.25125 mm at the axis."""
    elements = {"ImagePlanePixelSpacing": [0.402, 0.402], "RTImageSID": 1600, "RadiationMachineSAD": 1000}
    scale = scale_of(Header(made(RT, **elements)))
    assert scale.plane == "calibrated-geometry"
    assert scale.row_mm == pytest.approx(0.25125, abs=1e-9)
    assert scale_of(Header(made(RT, ImagePlanePixelSpacing=[0.402, 0.402]))).plane == "detector"


def test_a_localizer_is_refused_with_its_reason(real):
    """F10: scouts carry a spacing and still give no length."""
    with pytest.raises(ImageError, match="localizer"):
        read_picture(real("dicomdirtests/98892001/CT2N/6293")).scale.spacing_at()


def test_projections_of_volumes_are_marked(real):
    """F11: rotating projections are in the patient's plane, but depth is lost, and that is said."""
    assert any("depth is lost" in note for note in read_picture(real("dicomdirtests/98892003/MR700/4467")).warnings)


@pytest.mark.parametrize(("depth_mm", "expected"), [(50, 1.0526), (70, 1.0753), (90, 1.0989)])
def test_magnification_follows_similar_triangles(depth_mm, expected):
    """D-01, D-02, D-03: M = SID / (SID - OID) at SID 1000 mm; 50 mm at 70 mm depth draw 53.76 mm."""
    factor = magnification(1000, depth_mm)
    assert factor == pytest.approx(expected, abs=5e-5)
    if depth_mm == 70:
        assert 50 * factor == pytest.approx(53.76, abs=0.005)
        assert 0.1484 / factor == pytest.approx(0.1380, abs=5e-5)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(), max_size=3), st.lists(st.floats(), max_size=3), st.sampled_from(["", "FIDUCIAL", "ODD"]))
def test_no_header_gives_a_length_from_an_unusable_number(patient, detector, mode):
    """Whatever stands in the spacing, a scale that measures is finite and above zero."""
    dataset = made(CR, PixelSpacingCalibrationType=mode)
    dataset.add_new(0x00280030, "LO", "\\".join(map(str, patient)))
    dataset.add_new(0x00181164, "LO", "\\".join(map(str, detector)))
    try:
        row_mm, col_mm = scale_of(Header(dataset)).spacing_at()
    except ImageError:
        return
    assert 0 < row_mm < math.inf
    assert 0 < col_mm < math.inf
    assert len(patient) == 2
