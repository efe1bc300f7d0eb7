"""Lengths, their spread and their refusals."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import ImageError
from cuffwright.imaging.calibration import calibrate
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.ruler import measure
from cuffwright.imaging.samples import sample_path

SHOULDER = read_picture(sample_path("shoulder-mr"))
inside = st.tuples(st.floats(0, 1023), st.floats(0, 1023))


@pytest.mark.req("REQ-009")
def test_row_and_column_spacing_are_not_swapped(altered):
    """D-18: ten columns and ten rows of 0.545455\\0.596847 are 8.0855 mm; one spacing for both gives 7.7139 mm."""
    length = measure(altered("CT_small.dcm", PixelSpacing=["0.545455", "0.596847"]), (0, 0), (10, 10))
    assert length.measurement.value == pytest.approx(8.0855, abs=5e-5)
    assert abs(length.measurement.value - 7.7139) > 0.3


@pytest.mark.req("REQ-009")
def test_swapping_the_pair_swaps_the_axes(altered):
    """A horizontal line reads the second value, a vertical line the first."""
    place = altered("CT_small.dcm", PixelSpacing=[0.5, 0.25])
    assert measure(place, (0, 0), (10, 0)).measurement.value == pytest.approx(2.5)
    assert measure(place, (0, 0), (0, 10)).measurement.value == pytest.approx(5.0)


def test_the_grid_spread_is_that_of_two_even_ends(altered):
    """Closed form: 48 pixels of 0.5 mm are 24.0 mm, and two ends even over a pixel give 0.5 / sqrt 6 = 0.204 mm."""
    length = measure(altered("CT_small.dcm", PixelSpacing=[0.5, 0.5]), (20, 30), (20, 78))
    assert length.measurement.value == pytest.approx(24.0)
    assert length.measurement.sd == pytest.approx(0.5 / math.sqrt(6))
    assert length.measurement.origin == "image"
    assert any("pixel grid only" in note for note in length.warnings)


def test_the_spread_agrees_with_drawn_chance(altered):
    """Independent check: 20,000 lines with both ends jittered by grid and hand have the spread that is stated."""
    rng = np.random.default_rng(7)
    place = altered("CT_small.dcm", PixelSpacing=[0.8, 0.3])
    start, end = np.array([10.0, 12.0]), np.array([70.0, 50.0])
    jitter = rng.uniform(-0.5, 0.5, (2, 20_000, 2))
    across = (end - start + jitter[0] - jitter[1]) * (0.3, 0.8)
    stated = measure(place, tuple(start), tuple(end)).measurement.sd
    assert np.std(np.hypot(*across.T)) == pytest.approx(stated, rel=0.03)


def test_the_hand_that_marks_enters_the_spread_and_is_named_as_assumed(real, book):
    """With evidence the clicking error is added in quadrature and its row is listed as unverified."""
    length = measure(real("MR2_UNCR.dcm"), (300, 400), (500, 400), book=book)
    click = book.fact("imaging.click.sd_px").value * 0.195313 * math.sqrt(2)
    assert length.click_sd_mm == pytest.approx(click)
    assert length.measurement.sd == pytest.approx(math.hypot(click, 0.195313 / math.sqrt(6)))
    assert length.assumed == ("imaging.click.sd_px",)


def test_the_trace_lets_a_second_reader_repeat_it(real):
    """Image name and both points, and the points in the patient span the same length."""
    picture = read_picture(real("MR2_UNCR.dcm"))
    length = measure(picture, (112, 201), (112.5, 249))
    assert length.measurement.trace == f"image {picture.short_uid} (112,201)-(112.5,249)"
    assert math.dist(length.start_patient, length.end_patient) == pytest.approx(length.measurement.value)


def test_a_frame_is_named_when_there_are_several(real):
    """F14: the trace of the second frame says so."""
    assert " frame 2 (" in measure(real("eCT_Supplemental.dcm"), (1, 1), (5, 5), frame=1).measurement.trace


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("RG3_UNCR.dcm", "no usable pixel spacing"),
        ("RG1_UNCR.dcm", "no usable pixel spacing"),
        ("dicomdirtests/77654033/CR1/6154", "that of the detector"),
        ("dicomdirtests/98892001/CT2N/6293", "localizer"),
        ("emri_small.dcm", "no usable pixel spacing"),
        ("US1_UNCR.dcm", "no region"),
        ("mlut_18.dcm", "carries no scale"),
    ],
)
@pytest.mark.req("REQ-006")
def test_no_scale_no_length(real, name, why):
    """F2 (no guess from its 35 cm cassette), F3 (spacing zero), F4, F10, F16, F24, F32: refused with the reason."""
    with pytest.raises(ImageError, match="no pixel spacing in the patient's plane, so no length can be given") as told:
        measure(real(name), (1, 1), (5, 5))
    assert why in str(told.value)


@pytest.mark.parametrize("end", [(10, 10), (2000, 10), (-1, 10), (math.nan, 10), (10, -math.inf)])
def test_impossible_points_are_refused(real, end):
    """Equal ends, ends off the image and ends that are no numbers give no length."""
    with pytest.raises(ImageError):
        measure(real("MR2_UNCR.dcm"), (10, 10), end)


def test_an_unnamed_calibration_needs_a_person(altered):
    """Class calibrated-unknown is measured after confirmation only."""
    place = altered("RG3_UNCR.dcm", PixelSpacing=[0.18, 0.18], ImagerPixelSpacing=[0.2, 0.2])
    with pytest.raises(ImageError, match="confirm the calibration"):
        measure(place, (0, 0), (100, 0))
    assert measure(place, (0, 0), (100, 0), confirmed=True).measurement.value == pytest.approx(18.0)


def test_a_marked_ball_gives_its_scale(altered):
    """D-04: a 25 mm ball drawn 182 px wide gives 0.13736 mm per pixel; drawn 27.30 mm, so M = 1.092."""
    picture = read_picture(altered("RG3_UNCR.dcm", ImagerPixelSpacing=[0.15, 0.15]))
    ball = calibrate(picture, (100, 50), (282, 50), known="ball", known_mm=25, by="reader 1", at="2026-01-01T10:00")
    assert ball.scale.col_mm == pytest.approx(0.13736, abs=5e-6)
    assert picture.scale.col_mm / ball.scale.col_mm == pytest.approx(1.092, abs=5e-5)
    length = measure(picture, (0, 0), (100, 0), calibration=ball)
    assert length.measurement.value == pytest.approx(13.736, abs=5e-4)
    assert (length.plane, length.start_patient) == ("calibrated-fiducial", None)


def test_a_calibration_holds_for_its_own_image_only(altered, real):
    """A scale marked on one image is refused on another, and refused where the patient's plane is known."""
    one = read_picture(altered("RG3_UNCR.dcm", ImagerPixelSpacing=[0.15, 0.15]))
    other = read_picture(altered("RG3_UNCR.dcm", SOPInstanceUID="1.2.3"))
    mark = {"known": "ball", "known_mm": 25, "by": "reader 1", "at": "2026-01-01T10:00"}
    ball = calibrate(one, (0, 0), (10, 0), **mark)
    with pytest.raises(ImageError, match="another image"):
        measure(other, (0, 0), (5, 0), calibration=ball)
    with pytest.raises(ImageError, match="already has its scale"):
        calibrate(read_picture(real("MR2_UNCR.dcm")), (0, 0), (10, 0), **mark)
    with pytest.raises(ImageError, match="same point"):
        calibrate(one, (1, 1), (1, 1), **mark)
    with pytest.raises(ImageError, match="above 0 mm"):
        calibrate(one, (0, 0), (10, 0), **{**mark, "known_mm": -1})


@pytest.mark.req("REQ-007")
def test_the_spacing_of_the_detector_is_no_length_until_calibrated(real, altered):
    """F4, and a copy whose Pixel Spacing equals the detector's (PS3.3 10.7: not calibrated), confirmed or not."""
    same = altered("RG3_UNCR.dcm", PixelSpacing=[0.2, 0.2], ImagerPixelSpacing=[0.2, 0.2])
    for place in (real("dicomdirtests/77654033/CR1/6154"), same):
        with pytest.raises(ImageError, match="that of the detector"):
            measure(place, (1, 1), (9, 9), confirmed=True)


@pytest.mark.req("REQ-008")
def test_no_slice_tag_enters_a_length(altered):
    """The same two points whatever thickness or slice spacing the tags name, or when they are missing."""
    lengths = {
        measure(altered("MR2_UNCR.dcm", SliceThickness=t, SpacingBetweenSlices=s), (10, 10), (700, 400)).measurement
        for t, s in ((6, 6.6), (650, 2), (None, None))
    }
    assert len(lengths) == 1


@settings(max_examples=40, deadline=None)
@given(inside, inside, inside)
def test_lengths_obey_the_laws_of_distance(one, two, three):
    """Symmetry and the triangle law on the shoulder MR."""

    def between(a, b):
        return 0.0 if a == b else measure(SHOULDER, a, b).measurement.value

    assert between(one, two) == pytest.approx(between(two, one))
    assert between(one, three) <= between(one, two) + between(two, three) + 1e-9
