"""The parts of a reading's spread and the rows behind them, against closed forms worked out by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures import reading
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.scale import Scale
from tests.imaging.conftest import real

SPACING = 0.195313
SQUARE = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])


@pytest.fixture(scope="module")
def shoulder():
    """F1, 0.195313 mm."""
    return read_picture(real("MR2_UNCR.dcm"))


def square(x, y, side):
    """Corners of a square from its top left."""
    return [(a, b) for a, b in (SQUARE * side + (x, y)).tolist()]


def names(found):
    """Doubts by their first words."""
    return {doubt.words.split()[0]: doubt.sd for doubt in found.doubts}


@pytest.mark.parametrize(
    ("name", "one", "other", "kind"),
    [
        ("tear_width", "front", "back", "MR"),
        ("retraction", "edge", "stump", "MR"),
        ("tendon_thickness", "joint", "bursa", "MR"),
        ("footprint_ap", "front", "back", "MR"),
        ("footprint_ml", "margin", "edge", "MR"),
        ("acromiohumeral_interval", "acromion", "head", "MR"),
        ("tuberosity_cortex", "outer", "inner", "CT"),
    ],
)
def test_lengths_on_oblong_pixels(shoulder, book, name, one, other, kind):
    """Ten pixels of 0.4 mm across and ten of 0.3 mm down: 5 mm, for every straight length."""
    picture = replace(shoulder, scale=Scale(0.3, 0.4, "patient", "invented"), modality=kind)
    found = read_off(guide(name), picture, [{one: [(110.0, 90.0)], other: [(100.0, 100.0)]}], book)
    assert found.value == 5.0


def test_the_head_and_the_tuberosity_on_oblong_pixels(shoulder, book):
    """Marks on a circle of 24 mm drawn with oblong pixels: 24 mm; a point 28.3 mm from its centre: 4.3 mm beyond."""
    picture = replace(shoulder, scale=Scale(0.3, 0.4, "patient", "invented"))
    turns = np.radians([200, 240, 280, 320, 350])
    ring = [(500 + 24 * math.cos(a) / 0.4, 500 + 24 * math.sin(a) / 0.3) for a in turns]
    assert read_off(guide("head_radius"), picture, [{"edge": ring}], book).value == 24.0
    beyond = {"head": ring, "edge": [(500 + 28.3 / 0.4, 500.0)]}
    assert read_off(guide("tuberosity"), picture, [beyond], book).value == 4.3


def test_the_rounds_own_scatter_is_weighed_with_the_row(shoulder, book):
    """Two lengths of 50 and 60 pixels across: SD of their mean from 4 rounds' worth of the row (one pixel at each end)
    and one of their scatter.
    """
    rounds = [{"edge": [(400.0, 400.0)], "stump": [(400.0 - long, 400.0)]} for long in (50, 60)]
    found = read_off(guide("retraction"), shoulder, rounds, book)
    by_hand = math.sqrt((4 * 2 * 1.0**2 + 1 * 50.0) / (4 + 1) / 2) * SPACING
    assert found.click_sd == pytest.approx(by_hand, rel=1e-6)
    assert found.value == pytest.approx(55 * SPACING, abs=5e-4)


def test_the_slice_beside_the_place(shoulder, book):
    """Retraction: 0.4 of an even spread over one step. Width: a step's root of a third, times the fan's closing (width
    over 24 + 4.3 mm) and 0.05. Both rest on assumed rows, which are named.
    """
    marks = {"edge": [(400.0, 400.0)], "stump": [(300.0, 400.0)]}
    found = read_off(guide("retraction"), shoulder, [marks], book, step_mm=3.0)
    assert names(found) == {"the": pytest.approx(0.4 * 3 / math.sqrt(12))}
    assert set(found.assumed) == {"imaging.click.sd_px", "imaging.click.rounds", "imaging.retraction.slope"}
    wide = {"front": [(300.0, 400.0)], "back": [(400.0, 400.0)]}
    width = read_off(guide("tear_width"), shoulder, [wide], book, step_mm=3.0)
    assert names(width) == {"the": pytest.approx(math.sqrt(3) * (100 * SPACING / 28.3 + 0.05))}
    assert "imaging.width.slope" in width.assumed
    assert width.propagated_sd == pytest.approx(math.hypot(width.grid_sd, width.click_sd, names(width)["the"]))
    assert width.warnings == ()


@pytest.mark.parametrize(("name", "ends"), [("retraction", ("edge", "stump")), ("tear_width", ("front", "back"))])
def test_an_unknown_step_is_told(shoulder, book, name, ends):
    """Without the distance between slices that part of the spread is missing, and the reading says so."""
    found = read_off(guide(name), shoulder, [{n: [(300.0 + 50 * i, 400.0)] for i, n in enumerate(ends)}], book)
    assert found.doubts == ()
    assert any("distance between slices is not known" in words for words in found.warnings)


def test_an_outline_inside_or_outside_its_edge(shoulder, book):
    """Squares of 100 and 200 pixels moved out by 0.15 pixel all around: the ratio changes by 0.15 x 4/100 and x 4/200
    of itself.
    """
    marks = {"muscle": square(350, 350, 100), "fossa": square(300, 300, 200)}
    found = read_off(guide("occupation_ratio"), shoulder, [marks], book)
    assert found.value == 0.25
    assert names(found) == {"an": pytest.approx(0.25 * math.hypot(0.15 * 4 / 100, 0.15 * 4 / 200))}
    flat = {**marks, "muscle": [(310.0, 310.0), (320.0, 310.0), (330.0, 310.0), (340.0, 310.0)]}
    assert read_off(guide("occupation_ratio"), shoulder, [flat], book).value == 0


def test_noise_in_outlines(shoulder, book):
    """Noise of 30 in 40 by 40 pixels, a quarter of them counted: 1.5 of a mean; fat halfway: that of all three."""
    values = np.random.default_rng(4).normal(100, 30, (1024, 1024)).astype(np.float32)
    ct = replace(shoulder, modality="CT")
    bed = read_off(guide("bone_density"), ct, [{"bed": square(100.5, 100.5, 40)}], book, values=values)
    assert names(bed) == {"noise": pytest.approx(1.5, rel=0.05), "no": 20}
    assert "imaging.ct.calibration_doubt" in bed.assumed
    values[:, 400:] += 200
    values[:, 700:] += 200
    marks = {n: square(x, 500.5, 40) for n, x in (("sound", 100.5), ("muscle", 500.5), ("fat", 800.5))}
    fat = read_off(guide("fat_fraction"), shoulder, [marks], book, values=values)
    assert fat.value == pytest.approx(50, abs=1.5)
    assert names(fat)["noise"] == pytest.approx(100 * 1.5 * math.sqrt(1 + 0.25 + 0.25) / 400, rel=0.07)


def test_a_picture_is_decoded_once_for_a_reading(shoulder, book, monkeypatch):
    """However often the marks are moved to see how the value follows."""
    decoded = []
    plain = reading.read_stored
    monkeypatch.setattr(reading, "read_stored", lambda picture: decoded.append(picture) or plain(picture))
    read_off(guide("bone_density"), replace(shoulder, modality="CT"), [{"bed": square(430.5, 500.5, 10)}] * 2, book)
    assert len(decoded) == 1


@pytest.mark.req("REQ-006")
def test_a_slice_without_any_spacing_gives_no_ratio(shoulder, book):
    """Its pixels may have any shape: refused, with the reason."""
    bare = replace(shoulder, scale=Scale(None, None, "none", "it is a mosaic of many slices in one picture"))
    marks = {"muscle": square(350, 350, 100), "fossa": square(300, 300, 200)}
    with pytest.raises(ImageError, match="mosaic"):
        read_off(guide("occupation_ratio"), bare, [marks], book)


def test_an_angle_on_a_film_that_says_only_its_pixels_shape(altered, book):
    """Pixels 4 high and 3 wide: 40 across and 30 up are 45 degrees to the glenoid's upright line."""
    film = read_picture(altered("RG3_UNCR.dcm", PixelAspectRatio=[4, 3]))
    marks = {"top": [(600.0, 500.0)], "bottom": [(600.0, 900.0)], "acromion": [(640.0, 870.0)]}
    found = read_off(guide("critical_shoulder_angle"), film, [marks], book)
    assert film.plane == "none"
    assert found.value == pytest.approx(45, abs=1e-3)


def test_the_tangents_height_is_a_ratio(shoulder, book):
    """60 pixels over the line in a fossa 200 deep: 0.3, whatever a pixel is worth; a fossa on the line is refused."""
    marks = {"coracoid": [(300, 400)], "spine": [(700, 400)], "muscle": [(500, 340)], "fossa": [(500, 600)]}
    large = replace(shoulder, scale=Scale(0.7, 0.7, "patient", "invented"))
    for picture in (shoulder, large):
        assert read_off(guide("tangent_sign"), picture, [marks], book).value == 0.3
    with pytest.raises(ImageError, match="lies on the line"):
        read_off(guide("tangent_sign"), shoulder, [{**marks, "fossa": [(500, 400)]}], book)


@pytest.mark.parametrize(
    ("name", "words"),
    [("tear_width", "+1.32 mm, SD 4.64 against the width"), ("retraction", "+4.21 mm, SD 4.89 against the retraction")],
)
def test_the_difference_from_arthroscopy_is_told(shoulder, book, name, words):
    """Means of the series (Int Orthop 2015, 39:227-232, abstract), told beside the value and not added to it."""
    ends = dict(zip([mark.name for mark in guide(name).marks], ([(300.0, 400.0)], [(400.0, 400.0)]), strict=True))
    found = read_off(guide(name), shoulder, [ends], book)
    assert words in found.method
    assert found.value == pytest.approx(100 * SPACING, abs=5e-4)


@pytest.mark.parametrize(
    ("key", "seen", "one", "found", "other", "together"),
    [
        ("imaging.method.tear_width", 14.19, 5.20, 12.87, 4.15, 0.526),
        ("imaging.method.retraction", 16.81, 6.29, 12.60, 4.89, 0.643),
    ],
)
def test_the_difference_from_arthroscopy_follows_from_the_series(book, key, seen, one, found, other, together):
    """Means and SDs on MR and at arthroscopy, and their correlation (Int Orthop 2015, 39:227-232, abstract): the mean
    difference, and the SD of a difference.
    """
    sd = math.sqrt(one**2 + other**2 - 2 * together * one * other)
    assert book.fact(key).value == pytest.approx(seen - found, abs=0.005)
    assert book.fact(key).sd == pytest.approx(sd, abs=0.005)


def test_the_spread_against_ct_follows_from_the_limits(book):
    """Limits of agreement -2.17 to 7.63 degrees lie 1.96 SD to either side of 2.73 (World J Orthop 2021, 12:301)."""
    row = book.fact("imaging.method.shoulder_angle")
    assert (row.low + row.high) / 2 == pytest.approx(row.value, abs=0.01)
    assert row.sd == pytest.approx((row.high - row.low) / (2 * 1.96), abs=0.01)


def test_rims_apart_by_the_row_mean_a_view_turned_by_twelve_degrees(book):
    """A glenoid of 39 by 29 mm (J Bone Joint Surg 1992, 74-A:491) turned by 12 degrees shows its rims so far apart."""
    ratio = 29 / 39 * math.sin(math.radians(12))
    assert book.fact("imaging.glenoid.projected_ratio").value == pytest.approx(ratio, abs=0.01)
