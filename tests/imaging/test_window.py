"""Stored value to grey level against PS3.3 C.11 and the worked values of the shoulder MR."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydicom.dataset import Dataset
from pydicom.pixels.processing import apply_windowing

from cuffwright.case.errors import ImageError
from cuffwright.imaging.picture import read_picture, read_stored
from cuffwright.imaging.window import Window, linear, linear_exact, modality_values, render, sigmoid


@pytest.mark.parametrize(
    ("stored", "modality", "grey"),
    [
        (0, 0.000, 0.000),
        (100, 377.411, 48.144),
        (265, 1000.140, 127.582),
        (400, 1509.646, 192.576),
        (595, 2245.598, 255),
    ],
    ids=["D-20", "D-21", "D-22", "D-23", "D-24"],
)
def test_the_shoulder_through_its_own_rescale_and_window(real, stored, modality, grey):
    """D-20 to D-24: slope 3.774114, intercept 0.000061, centre 1000, width 2000, LINEAR."""
    header = read_stored(read_picture(real("MR2_UNCR.dcm")))[1]
    value = modality_values(np.array([stored]), header)
    assert value[0] == pytest.approx(modality, abs=1e-3)
    assert linear(value, 1000, 2000)[0] == pytest.approx(grey, abs=1e-3)
    if stored == 400:
        assert linear_exact(value, 1000, 2000)[0] == pytest.approx(192.480, abs=1e-3)


def test_the_window_comes_after_the_rescale(real):
    """Without the rescale the shoulder would end at 76 of 255; drawn, its brightest pixel is white."""
    picture = read_picture(real("MR2_UNCR.dcm"))
    shown = render(picture)
    raw = read_stored(picture)[0]
    assert shown.levels[raw == raw.max()].min() == 255
    assert linear(raw.astype(float), 1000, 2000).max() < 80
    assert shown.window == Window(1000, 2000, "LINEAR")


def test_low_is_bright_in_monochrome1(real, altered):
    """F2: the same stored values drawn as MONOCHROME1 and MONOCHROME2 add up to 255."""
    low_bright = render(read_picture(real("RG3_UNCR.dcm"))).levels.astype(int)
    low_dark = render(read_picture(altered("RG3_UNCR.dcm", PhotometricInterpretation="MONOCHROME2"))).levels.astype(int)
    assert np.abs(low_bright + low_dark - 255).max() <= 1
    assert low_bright.std() > 5


def test_no_picture_is_stretched(real, altered):
    """F22: aspect 4\\3; anisotropic spacing 0.545455\\0.596847; rows and columns stay as stored."""
    colour = render(read_picture(real("color-pl.dcm")))
    assert colour.aspect == pytest.approx(4 / 3)
    assert colour.levels.shape == (120, 256, 3)
    place = altered("CT_small.dcm", PixelSpacing=["0.545455", "0.596847"])
    assert render(read_picture(place)).aspect == pytest.approx(0.545455 / 0.596847)


def test_planar_and_interleaved_colour_look_alike(real):
    """F22: the two forms of one colour picture are drawn the same."""
    one, other = (render(read_picture(real(name))).levels for name in ("color-pl.dcm", "color-px.dcm"))
    assert np.array_equal(one, other)


def test_hounsfield_values_of_a_ct(real):
    """F5: slope 1, intercept -1024 as its header says, so stored 1024 is water."""
    header = read_stored(read_picture(real("CT_small.dcm")))[1]
    assert modality_values(np.array([1024]), header)[0] == 0.0


def test_enhanced_frames_use_their_own_rescale_and_window(real):
    """F14: neither stands at the top of this file; the window is 49 / 102 as in its groups."""
    shown = render(read_picture(real("eCT_Supplemental.dcm")))
    assert shown.window == Window(49.0, 102.0, "LINEAR")
    assert shown.levels.min() < shown.levels.max()


def test_tables_are_applied(real):
    """F32: a modality table and a grey table change the picture, and the grey table is named."""
    table = render(read_picture(real("vlut_04.dcm")))
    assert table.notes == ("drawn through its own table",)
    values, header = read_stored(read_picture(real("mlut_18.dcm")))
    assert not np.array_equal(modality_values(values, header), values)


def test_a_picture_without_window_is_drawn_over_its_range_and_says_so(altered):
    """No window in the header: full range, with a note, and never silently."""
    shown = render(read_picture(altered("MR_small.dcm", WindowCenter=None, WindowWidth=None)))
    assert (shown.levels.min(), shown.levels.max()) == (0, 255)
    assert "names no window" in shown.notes[0]


def test_unknown_functions_and_impossible_windows_are_refused(real):
    """A function the standard does not name is not drawn; a linear window is at least 1 wide, an exact one above 0."""
    picture = read_picture(real("MR2_UNCR.dcm"))
    for window in (
        Window(0, 10, "OTHER"),
        Window(0, 0, "SIGMOID"),
        Window(0, 0.5),
        Window(0, 0, "LINEAR_EXACT"),
        Window(0, float("nan")),
    ):
        with pytest.raises(ImageError):
            render(picture, window)


def test_a_big_endian_palette_is_refused_rather_than_drawn_black(real):
    """Its tables come in the wrong byte order; the little-endian twin is drawn in colour."""
    assert render(read_picture(real("OBXXXX1A.dcm"))).levels.max() == 255
    with pytest.raises(ImageError, match="palette"):
        render(read_picture(real("OBXXXX1A_expb.dcm")))


@settings(max_examples=40, deadline=None)
@given(st.floats(-1e4, 1e4), st.floats(1, 1e4), st.lists(st.floats(-1e5, 1e5), min_size=2, max_size=20))
def test_windows_rise_and_stay_in_range(centre, width, values):
    """Both functions never fall and end at 0 and 255; at width 1 LINEAR is a step at centre - 0.5 (C.11.2.1.2.1)."""
    ordered = np.sort(np.array(values))
    for function in (linear, linear_exact):
        grey = function(ordered, centre, width)
        assert np.all(np.diff(grey) >= 0)
        assert grey.min() >= 0
        assert grey.max() <= 255
    assert linear(np.array([centre - 0.6, centre - 0.4]), centre, 1).tolist() == [0, 255]


def test_the_smooth_window_is_that_of_the_standards_reference_reader():
    """SIGMOID equals pydicom's own reading of PS3.3, C.11.2.1.3.1, and is half way at the centre."""
    values = np.linspace(-500.0, 500.0, 41)
    dataset = Dataset()
    dataset.WindowCenter, dataset.WindowWidth, dataset.VOILUTFunction = 40, 300, "SIGMOID"
    dataset.PhotometricInterpretation, dataset.BitsStored, dataset.PixelRepresentation = "MONOCHROME2", 8, 0
    dataset.RescaleSlope, dataset.RescaleIntercept = 1, 0
    assert sigmoid(values, 40, 300) == pytest.approx(apply_windowing(values, dataset))
    assert sigmoid(np.array([40.0]), 40, 300) == pytest.approx(127.5)
