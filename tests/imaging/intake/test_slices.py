"""Slices by index, as levels: the same picture as the plain drawing, kept ready, within the room given."""

import numpy as np
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.slices import Slices
from cuffwright.imaging.intake.taking_in import take_in
from cuffwright.imaging.window import Window, render
from tests.imaging.stacks import TEST_FILES, write_stack


@pytest.fixture(scope="module")
def series(tmp_path_factory):
    """Five slices of CT_small."""
    folder = tmp_path_factory.mktemp("stack")
    write_stack(folder, [0, 3, 6, 9, 12])
    return take_in(folder).series[0]


@pytest.mark.parametrize("window", [None, Window(40, 400), Window(300, 1500, "LINEAR_EXACT")])
def test_a_kept_slice_is_drawn_as_the_plain_drawing_draws_it(series, window):
    """Level by level the same, but for rounding of single precision (one level at most)."""
    shown, plain = Slices(series).shown(2, window), render(series[2], window)
    assert np.abs(shown.levels.astype(int) - plain.levels.astype(int)).max() <= 1
    assert (shown.window, shown.aspect) == (plain.window, plain.aspect)


def test_inverting_turns_every_level(series):
    """Level and inverted level add up to white."""
    slices = Slices(series)
    assert (slices.shown(0).levels.astype(int) + slices.shown(0, invert=True).levels == 255).all()


def test_no_more_is_kept_than_there_is_room_for(series):
    """Room for two slices: after a walk through all five, at most two are held."""
    one = 128 * 128 * 4
    slices = Slices(series, keep_bytes=2 * one)
    for index in range(len(slices)):
        slices.shown(index)
    assert sum(grey is not None for grey in slices._kept.values()) == 2


def test_an_index_outside_is_refused(series):
    """Before the first and after the last."""
    for index in (-1, 5):
        with pytest.raises(ImageError, match="has 5 pictures"):
            Slices(series).shown(index)


def test_colour_is_drawn_and_has_no_values():
    """A colour picture is drawn as it is and refuses to be measured by grey values."""
    slices = Slices(take_in([TEST_FILES / "SC_rgb_gdcm_KY.dcm"]).series[0])
    assert slices.shown(0).levels.shape[2] == 3
    with pytest.raises(ImageError, match="no grey values"):
        slices.values(0)
