"""The humeral head on the real shoulder MR against the worked circle, on drawn circles, and where it must refuse."""

import math

import numpy as np
import pydicom
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.circle import Circle, agreeing_arc, arc_degrees, longest_run, refined, through
from cuffwright.imaging.head_circle import fit_head_circle
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.samples import SHOULDER_MR, sample_path
from tests.sampling import of

WORKED = Circle(434.8, 513.2, 136.2)
"""D-16: another method's circle on this file, in pixels; accepted within 1.5 mm of diameter."""


@pytest.fixture(scope="module")
def shoulder():
    """F1."""
    return read_picture(sample_path("shoulder-mr"))


@pytest.fixture(scope="module")
def head(shoulder, book):
    """The fit from the rough marks of the demonstration."""
    return fit_head_circle(shoulder, SHOULDER_MR.head_marks, book)


def test_the_head_agrees_with_the_worked_circle(head):
    """D-16: diameter 53.2 mm within 1.5 mm, centre (434.8, 513.2) px within 0.75 mm."""
    assert head.diameter.value == pytest.approx(53.2, abs=1.5)
    assert math.dist(head.centre, (WORKED.x, WORKED.y)) * 0.195313 < 0.75
    assert head.diameter.value == pytest.approx(2 * head.radius.value, abs=0.011)
    assert head.complete


def test_the_centre_lies_in_the_right_shoulder(head):
    """D-17: (-131.70, -27.34, 12.60) mm within 1 mm; x below 0 is the patient's right."""
    assert math.dist(head.centre_patient, (-131.70, -27.34, 12.60)) < 1.0


def test_the_marks_are_rough_and_the_answer_is_not_theirs(head):
    """The circle through the marks alone misses the fitted diameter by more than a millimetre."""
    rough = through(np.array(SHOULDER_MR.head_marks))
    assert abs(2 * rough.radius * 0.195313 - head.diameter.value) > 1.0


def test_the_spread_is_stated_and_traceable(head, shoulder):
    """The spread is above the pixel grid's own share of a radius and the trace repeats the marks."""
    assert 0.195313 / math.sqrt(24) < head.radius.sd < 1.0
    assert head.radius.origin == "image"
    assert head.radius.trace.startswith(f"image {shoulder.short_uid} head circle from marks (430,380)-")


def test_what_the_fit_cannot_know_is_said(head):
    """Half of the 6.6 mm slice step beside the centre hides sqrt(r2 + d2) - r, 0.4 mm of diameter here."""
    hidden = 2 * (math.hypot(head.radius.value, 3.3) - head.radius.value)
    assert any(f"(3.3 mm) beside it, the diameter reads {hidden:.1f} mm too small" in word for word in head.cannot_know)
    assert any("cartilage" in word for word in head.cannot_know)
    assert any("only round" in word for word in head.cannot_know)


@pytest.mark.parametrize("seed", range(of(3, 8)))
def test_disturbed_marks_find_the_same_head(shoulder, book, head, seed):
    """Every mark moved by an SD of 8 px (1.6 mm): the worked diameter within 1.5 mm, and our own within 0.5 mm."""
    moved = np.array(SHOULDER_MR.head_marks) + np.random.default_rng(seed).normal(0, 8, (5, 2))
    again = fit_head_circle(shoulder, [tuple(mark) for mark in moved.tolist()], book)
    assert again.diameter.value == pytest.approx(53.2, abs=1.5)
    assert again.diameter.value == pytest.approx(head.diameter.value, abs=0.5)


def drawn(tmp_path, circle, *, arc=360.0, row_mm=0.3, col_mm=0.3, noise=20.0):
    """A drawn marrow disc (mm) with a bright bar across the part of its edge that is to be hidden, as an MR file."""
    dataset = pydicom.dcmread(sample_path("shoulder-mr"))
    rows, columns = np.indices((300, 320))
    fine = (np.arange(5) - 2) / 5
    x, y = columns * col_mm - circle.x, rows * row_mm - circle.y
    inside = np.mean([np.hypot(x + a * col_mm, y + b * row_mm) < circle.radius for a in fine for b in fine], axis=0)
    angle = np.degrees(np.arctan2(y, x)) % 360
    values = np.where(angle < arc, 300 * inside, 300.0) + 50
    values += np.random.default_rng(11).normal(0, noise, values.shape)
    dataset.Rows, dataset.Columns = values.shape
    dataset.PixelSpacing = [row_mm, col_mm]
    dataset.PixelData = np.clip(values, 0, 4095).astype("<u2").tobytes()
    dataset.save_as(tmp_path / "drawn.dcm")
    return read_picture(tmp_path / "drawn.dcm")


def marks_on(circle, angles, row_mm=0.3, col_mm=0.3, off=1.5):
    """Marks ``off`` mm beside the circle at angles in degrees, pixels."""
    places = [(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in angles]
    reach = circle.radius + off
    return [((circle.x + c * reach) / col_mm, (circle.y + s * reach) / row_mm) for c, s in places]


@pytest.mark.parametrize(("row_mm", "col_mm"), [(0.3, 0.3), (0.3, 0.25), (0.22, 0.3)])
def test_a_drawn_disc_gives_its_own_radius(tmp_path, book, row_mm, col_mm):
    """Known answer: 23.7 mm, also with pixels that are not square, within three stated spreads."""
    truth = Circle(41.3, 34.2, 23.7)
    picture = drawn(tmp_path, truth, row_mm=row_mm, col_mm=col_mm)
    found = fit_head_circle(picture, marks_on(truth, (200, 260, 300, 350), row_mm, col_mm), book)
    assert abs(found.radius.value - truth.radius) < 3 * found.radius.sd
    assert found.radius.sd < 0.3
    assert math.dist((found.centre[0] * col_mm, found.centre[1] * row_mm), (truth.x, truth.y)) < 0.3
    assert found.complete
    assert found.arc_deg > 340


def test_a_short_arc_is_marked_incomplete(tmp_path, book):
    """With 90 degrees of edge left the fit says that it is incomplete, and its spread is wider than with all of it."""
    truth = Circle(41.3, 44.2, 23.7)
    whole = fit_head_circle(drawn(tmp_path, truth), marks_on(truth, (10, 40, 80)), book)
    part = fit_head_circle(drawn(tmp_path, truth, arc=90.0), marks_on(truth, (10, 40, 80)), book)
    assert not part.complete
    assert any("incomplete" in note for note in part.warnings)
    assert part.radius.sd > whole.radius.sd
    assert abs(part.radius.value - truth.radius) < 3 * part.radius.sd


def test_a_radius_outside_the_published_range_is_told(tmp_path, book):
    """A disc of 12 mm is round but no published head (19 to 28 mm, J Bone Joint Surg Am 1992, 140 shoulders)."""
    truth = Circle(41.3, 44.2, 12.0)
    found = fit_head_circle(drawn(tmp_path, truth), marks_on(truth, (10, 130, 250)), book)
    assert any("outside the published 19 to 28 mm" in note for note in found.warnings)


def test_no_round_edge_no_head(tmp_path, book, shoulder):
    """Noise, and a place in the air beside the shoulder, give a refusal and not a circle."""
    with pytest.raises(ImageError, match="no round edge"):
        fit_head_circle(drawn(tmp_path, Circle(-500, -500, 1)), [(100, 100), (200, 100), (150, 200)], book)
    with pytest.raises(ImageError, match="no round edge"):
        fit_head_circle(shoulder, [(40, 200), (110, 260), (40, 320), (20, 260)], book)


def test_marks_that_make_no_circle_are_refused(shoulder, book):
    """Two marks, marks on one line, marks off the image, marks that are no numbers."""
    for marks in ([(1, 1), (2, 2)], [(10, 10), (20, 20), (30, 30)], [(1, 1), (5, 9), (2000, 3)], [(math.nan, 1)] * 3):
        with pytest.raises(ImageError):
            fit_head_circle(shoulder, marks, book)


def test_other_images_are_refused(real, book):
    """A CT is not fitted, nor an MR without scale (F16)."""
    with pytest.raises(ImageError, match="on MR slices"):
        fit_head_circle(read_picture(real("CT_small.dcm")), [(1, 1), (5, 9), (20, 3)], book)
    with pytest.raises(ImageError, match="no pixel spacing"):
        fit_head_circle(read_picture(real("emri_small.dcm")), [(1, 1), (5, 9), (20, 3)], book)


def test_points_on_a_circle_give_it_back():
    """Closed form: exact points, algebraic and geometric, and the covariance of a whole ring, 1/n for the radius."""
    angles = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    points = np.column_stack([3 + 7 * np.cos(angles), -2 + 7 * np.sin(angles)])
    assert (through(points).x, through(points).y, through(points).radius) == pytest.approx((3, -2, 7))
    found, inverse = refined(Circle(2.5, -1.5, 6.5), points)
    assert (found.x, found.y, found.radius) == pytest.approx((3, -2, 7), abs=1e-6)
    assert inverse[2, 2] == pytest.approx(1 / 90, rel=1e-6)
    assert inverse[0, 0] == pytest.approx(2 / 90, rel=1e-6)


def test_the_longest_agreeing_arc_is_kept():
    """Half a ring on one circle, the rest elsewhere: only the half is kept."""
    angles = np.arange(180) * np.pi / 90
    radius = np.where(angles < np.pi, 10.0, 12.0 + np.sin(9 * angles))
    points = np.column_stack([radius * np.cos(angles), radius * np.sin(angles)])
    kept = agreeing_arc(points, np.ones(180, bool), 0.2, 2)
    assert arc_degrees(kept) == pytest.approx(180, abs=6)
    assert not longest_run(np.zeros(5, bool), 1).any()
    assert arc_degrees(np.ones(180, bool)) == 360.0
