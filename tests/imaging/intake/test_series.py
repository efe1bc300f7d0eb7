"""Series by geometry: order, step, gaps, mixed orientations and contradictory tags are found from the places."""

import gzip
import io
from pathlib import Path

import nibabel
import pydicom
import pytest

from cuffwright.imaging.intake.taking_in import take_in
from tests.imaging.stacks import TEST_FILES, write_stack

DISC = TEST_FILES / "dicomdirtests"


@pytest.mark.req("REQ-160")
def test_slices_sort_by_place_whatever_they_are_called(tmp_path):
    """Eight slices 3 mm apart with names and numbers against their order: sorted by place, step 3 mm."""
    write_stack(tmp_path, [12, 0, 21, 3, 18, 9, 6, 15])
    (series,) = take_in(tmp_path).series
    assert [p.slice_plane.position[2] for p in series.pictures] == [0, 3, 6, 9, 12, 15, 18, 21]
    assert series.stack.step_mm == pytest.approx(3)
    assert series.stack.even


def test_a_lost_slice_is_named(tmp_path):
    """Two of ten slices taken out: the gap and the number lost are said, and it is no even volume."""
    write_stack(tmp_path, [3.0 * i for i in range(10) if i not in (4, 5)])
    (series,) = take_in(tmp_path).series
    assert not series.stack.even
    assert any("steps of 3.00 to 9.00 mm, about 2 slices are missing" in note for note in series.notes)


def test_a_real_series_with_a_gap():
    """F9 (pydicom, CT2): four slices, gaps 1.25 and 202.5 mm."""
    found = take_in(DISC / "77654033" / "CT2")
    (series,) = [s for s in found.series if len(s) == 4]
    assert any("steps of 1.25 to 202.50 mm" in note for note in series.notes)


@pytest.mark.req("REQ-160")
def test_a_tag_that_contradicts_the_places_is_named_and_not_used(tmp_path):
    """The trap of F8 (true step 7 mm, tag 2.0, thickness 5.0): the step is 7 and the tag is called wrong."""
    write_stack(tmp_path, [7.0 * i for i in range(6)], SliceThickness=5.0, SpacingBetweenSlices=2.0)
    (series,) = take_in(tmp_path).series
    assert series.stack.step_mm == pytest.approx(7)
    assert any("tag says 2 mm between slices, their places say 7.00 mm" in note for note in series.notes)


def test_rotating_projections_are_not_stacked():
    """F11 (pydicom, MR700): seven orientations in one series make seven series of one, each told so."""
    found = take_in(DISC / "98892003" / "MR700")
    assert len(found.series) == 7
    assert all("7 groups of different orientation" in " ".join(s.notes) for s in found.series)


def test_localizers_of_three_spaces_stay_apart():
    """F12 (pydicom, MR2): seven localizers, three series and spaces, exponents in their spacing; not measurable."""
    found = take_in(DISC / "98892003" / "MR2")
    assert len(found.pictures) == 7
    assert len({p.frame_of_reference_uid for p in found.pictures}) == 3
    assert all(len({p.frame_of_reference_uid for p in s.pictures}) == 1 for s in found.series)


def test_slices_at_one_place_are_no_volume(tmp_path):
    """The same three places twice (two echoes): told, and not even."""
    write_stack(tmp_path, [0, 3, 6, 0.0, 3.0, 6.0])
    (series,) = take_in(tmp_path).series
    assert len(series) == 6
    assert not series.stack.even
    assert any("6 slices share places" in note for note in series.notes)


@pytest.mark.parametrize(("last", "even"), [(9.09, True), (8.91, True), (9.12, False), (8.88, False)])
def test_steps_within_a_tenth_of_a_mm_are_even(tmp_path, last, even):
    """Four slices 3 mm apart, the last one out by 0.09 mm or by 0.12 mm."""
    write_stack(tmp_path, [0, 3, 6, last])
    assert take_in(tmp_path).series[0].stack.even is even


def test_long_steps_are_even_within_a_hundredth(tmp_path):
    """Steps of 20 mm: 0.15 mm out is even, 0.3 mm out is not."""
    for last, even in ((60.15, True), (60.3, False)):
        write_stack(tmp_path / str(last), [0, 20, 40, last], series=f"1.2.{int(last * 100)}")
        assert take_in(tmp_path / str(last)).series[0].stack.even is even


def test_slices_half_a_thousandth_of_a_mm_apart_are_at_one_place(tmp_path):
    """Copies whose places differ in the last decimals only: two slices share a place, and the step stays 3 mm."""
    write_stack(tmp_path, [0, 3, 3.0005, 6])
    (series,) = take_in(tmp_path).series
    assert any("2 slices share places" in note for note in series.notes)
    assert series.stack.step_mm == pytest.approx(3, abs=1e-3)


@pytest.mark.parametrize(("tag", "told"), [(3.02, False), (3.05, True)])
def test_a_tag_within_a_hundredth_does_not_contradict(tmp_path, tag, told):
    """Steps of 3 mm and a tag 0.7 or 1.7 percent beside them."""
    write_stack(tmp_path, [0, 3, 6, 9], SpacingBetweenSlices=tag)
    assert any("its tag says" in note for note in take_in(tmp_path).series[0].notes) is told


@pytest.mark.parametrize(("lean", "series"), [(0.00005, 1), (0.0005, 2)])
def test_slices_are_parallel_within_a_cosine_of_a_ten_thousandth(tmp_path, lean, series):
    """One slice of four leans by 0.003 or by 0.03 degrees."""
    write_stack(tmp_path / "a", [0, 3, 6])
    write_stack(tmp_path / "b", [9], ImageOrientationPatient=[1, 0, lean, 0, 1, 0])
    assert len(take_in(tmp_path).series) == series


def test_a_tilted_gantry_is_named(tmp_path):
    """Slices that slide sideways by 1 mm a step: sheared, not even."""
    for i in range(4):
        write_stack(tmp_path / str(i), [3.0 * i], ImagePositionPatient=[-158.0, -179.0 + i, 3.0 * i])
    (series,) = take_in(tmp_path).series
    assert not series.stack.even
    assert any("slide by up to 1.00 mm" in note for note in series.notes)


def test_frames_of_an_enhanced_object_are_put_in_order(tmp_path):
    """F15 (nibabel): 176 frames of one file, 1 mm apart; written backwards they are put in order by their place."""
    folder = Path(nibabel.__file__).parent / "nicom" / "tests" / "data"
    packed = next(folder.glob("*mprage*.dcm.gz"))
    dataset = pydicom.dcmread(io.BytesIO(gzip.decompress(packed.read_bytes())))
    dataset.PerFrameFunctionalGroupsSequence = list(reversed(dataset.PerFrameFunctionalGroupsSequence))
    dataset.save_as(tmp_path / "frames.dcm")
    (series,) = take_in(tmp_path).series
    assert [p.frame for p in series.pictures] == list(reversed(range(176)))
    assert series.stack.step_mm == pytest.approx(1, abs=1e-3)
    assert series.stack.even


def test_a_picture_taken_twice_counts_once(tmp_path):
    """The same file under two names: one picture, and a note."""
    place = write_stack(tmp_path, [0])[0]
    (tmp_path / "copy").write_bytes(place.read_bytes())
    found = take_in(tmp_path)
    assert len(found.pictures) == 1
    assert "twice" in found.notes[0]


@pytest.mark.parametrize(
    ("file", "words"),
    [
        ("CT_small.dcm", "lengths, angles and ratios"),
        ("SC_rgb_gdcm_KY.dcm", "cannot be measured"),
        ("dicomdirtests/77654033/CR1/6154", "angles and ratios; lengths only after"),
    ],
)
def test_what_a_series_allows_is_said(file, words):
    """CT measures, a secondary capture does not (F4: a radiograph with the detector's spacing: angles and ratios)."""
    (series,) = take_in([TEST_FILES / file]).series
    assert series.can_measure.startswith(words)
