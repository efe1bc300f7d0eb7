"""Clicks to a value with its spread: closed forms, propagation against random clicks, scale honesty, the trace."""

import math

import numpy as np
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.exchange.demo_cases import DEFAULT, demo_cases
from cuffwright.imaging.calibration import calibrate, state_magnification
from cuffwright.imaging.measures.all_guides import GUIDES, guide, possible
from cuffwright.imaging.measures.drawings import DRAWINGS
from cuffwright.imaging.measures.landing import land
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.scale import MEASURABLE
from tests.imaging.conftest import real

SPACING = 0.195313


@pytest.fixture(scope="module")
def shoulder():
    """F1: the real oblique coronal, 0.195313 mm pixels."""
    return read_picture(real("MR2_UNCR.dcm"))


@pytest.fixture(scope="module")
def film():
    """F4: a radiograph with the detector's spacing only (16 by 16 pixels)."""
    return read_picture(real("dicomdirtests/77654033/CR1/6154"))


def test_a_length_is_the_straight_distance_in_mm(shoulder, book):
    """Pixels (300,400) and (330,440) lie 50 pixels apart: 50 x 0.195313 mm; the SD is grid and hand, by hand."""
    found = read_off(guide("retraction"), shoulder, [{"edge": [(330, 440)], "stump": [(300, 400)]}], book)
    assert found.value == pytest.approx(50 * SPACING, abs=1e-3)
    assert found.grid_sd == pytest.approx(SPACING * math.sqrt(2 / 12), rel=1e-3)
    assert found.click_sd == pytest.approx(SPACING * math.sqrt(2) * book.fact("imaging.click.sd_px").value, rel=1e-3)
    assert found.measurement.origin == "image"
    assert "(330,440)" in found.measurement.trace
    assert shoulder.short_uid in found.measurement.trace


def test_the_spread_is_that_of_many_hands(shoulder, book):
    """20,000 random clicks about four marks: their SD is the propagated one within 3 percent."""
    rng = np.random.default_rng(3)
    one = guide("critical_shoulder_angle")
    marks = {"top": (400.0, 300.0), "bottom": (390.0, 480.0), "acromion": (520.0, 250.0)}
    up = np.array(marks["top"]) - marks["bottom"]

    def angle(places):
        u, a = places[:, 0] - places[:, 1], places[:, 2] - places[:, 1]
        cross = u[:, 0] * a[:, 1] - u[:, 1] * a[:, 0]
        return np.degrees(np.arctan2(np.abs(cross), (u * a).sum(axis=1)))

    places = np.array(list(marks.values()))
    many = angle(places + rng.normal(0, 1, (20_000, 3, 2)))
    picture = read_picture(real("RG3_UNCR.dcm"))
    found = read_off(one, picture, [{n: [p] for n, p in marks.items()}], book)
    assert up[1] < 0
    assert found.click_sd == pytest.approx(many.std(), rel=0.03)
    assert found.value == pytest.approx(angle(places[None])[0], abs=1e-3)


def test_more_rounds_shrink_the_hand_and_not_the_grid(shoulder, book):
    """Nine equal rounds: the hand's part falls to a third or less, the grid's stays."""
    one = {"edge": [(330, 440)], "stump": [(300, 400)]}
    once, often = (read_off(guide("retraction"), shoulder, [one] * n, book) for n in (1, 9))
    assert often.grid_sd == once.grid_sd
    assert often.click_sd < once.click_sd / 3


def test_scattered_rounds_widen_the_spread(shoulder, book):
    """Two rounds 20 pixels apart give more spread than two equal ones."""
    rounds = [{"edge": [(330, 440)], "stump": [(300 + d, 400)]} for d in (-10, 10)]
    apart = read_off(guide("retraction"), shoulder, rounds, book)
    equal = read_off(guide("retraction"), shoulder, rounds[:1] * 2, book)
    assert apart.click_sd > 3 * equal.click_sd
    assert apart.sd > equal.sd


@pytest.mark.req("REQ-006", "REQ-007")
@pytest.mark.parametrize("name", [n for n, g in GUIDES.items() if g.needs_mm and "CR" in g.modalities])
def test_no_length_on_a_film_without_magnification(film, book, name):
    """F4: every measure in mm is refused with what to do."""
    marks = {m.name: [(2.0 + i, 3.0 + i * i / 2) for i in range(m.corners)] for m in guide(name).marks}
    with pytest.raises(ImageError, match="mark an object of known size"):
        read_off(guide(name), film, [marks], book)


def test_a_film_gives_angles_and_after_a_marked_object_lengths(film, book):
    """F4: an angle needs no scale; after a 10 mm object of 10 pixels was marked, 5 pixels are 5 mm."""
    marks = {"top": [(3.0, 3.0)], "bottom": [(3.0, 13.0)], "acromion": [(13.0, 3.0)]}
    assert read_off(guide("critical_shoulder_angle"), film, [marks], book).value == pytest.approx(45, abs=1e-3)
    scale = calibrate(film, (2, 2), (12, 2), known="ball", known_mm=10, by="x", at="2026-01-01")
    space = {"acromion": [(5.0, 2.0)], "head": [(5.0, 7.0)]}
    found = read_off(guide("acromiohumeral_interval"), film, [space], book, calibration=scale)
    assert found.value == pytest.approx(5)
    assert found.plane == "calibrated-fiducial"


def test_the_published_error_of_readers_is_the_least_spread(shoulder, book):
    """Acromiohumeral interval: fine pixels and a steady hand do not go below the readers of the series (1.09 mm)."""
    space = {"acromion": [(500.0, 200.0)], "head": [(500.0, 245.0)]}
    found = read_off(guide("acromiohumeral_interval"), shoulder, [space] * 5, book)
    assert found.propagated_sd < 0.5
    assert found.sd == 1.09


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        ({"edge": [(330, 440)]}, "stump needs one point"),
        ({"edge": [(330, 440)], "stump": [(1, 1), (2, 2)]}, "stump needs one point"),
        ({"edge": [(330, 440)], "stump": [(5000, 1)]}, "outside the image"),
        ({"edge": [(330, 440)], "stump": [(1, 1)], "more": [(2, 2)]}, "no mark called more"),
    ],
)
def test_a_missing_or_impossible_mark_is_named(shoulder, book, marks, words):
    """One sentence that names the mark."""
    with pytest.raises(ImageError, match=words):
        read_off(guide("retraction"), shoulder, [marks], book)


def test_the_wrong_kind_of_image_is_refused(film, book):
    """Retraction is read on MR."""
    with pytest.raises(ImageError, match="read on MR, not on CR"):
        read_off(guide("retraction"), film, [{"edge": [(1, 1)], "stump": [(2, 2)]}], book)


@pytest.mark.parametrize("one", GUIDES.values(), ids=GUIDES)
def test_every_guide_shows_where_to_click_and_what_it_cannot_know(one, book):
    """Marks lie on the drawing of the view, the named rows exist, and the field is one of the case sheet."""
    assert DRAWINGS[one.view]
    assert all(0 < m.place[0] < 1 and 0 < m.place[1] < 1 and m.words for m in one.marks)
    assert one.cannot_know
    assert one.formula
    for key in filter(None, (one.reader, one.method)):
        book.fact(key)
    if one.field:
        part, name = one.field.split(".")
        assert hasattr(getattr(demo_cases()[DEFAULT], part), name)


def test_a_reading_lands_in_its_field_and_nowhere_else(shoulder, book):
    """Retraction read: the case differs in that field only, with origin image and the trace."""
    sheet = demo_cases()[DEFAULT]
    found = read_off(guide("retraction"), shoulder, [{"edge": [(330, 440)], "stump": [(300, 400)]}], book)
    landed = land(sheet, found)
    changed = [k for (k, a), (_, b) in zip(sheet.measurements(), landed.measurements(), strict=True) if a != b]
    assert changed == ["tear.retraction_mm"]
    assert landed.tear.retraction_mm == found.measurement


def test_a_measure_without_a_field_does_not_land(shoulder, book):
    """The tuberosity beyond the head is kept beside the case."""
    angles = np.radians([200, 240, 280, 320, 350])
    head = [(430 + 130 * math.cos(a), 510 + 130 * math.sin(a)) for a in angles]
    found = read_off(guide("tuberosity"), shoulder, [{"head": head, "edge": [(430 + 155, 510)]}], book)
    assert found.value == pytest.approx(25 * SPACING, abs=1e-3)
    with pytest.raises(ImageError, match="fills no field"):
        land(demo_cases()[DEFAULT], found)


def test_possible_measures_follow_the_scale():
    """MR with a scale: lengths; a film at the detector's plane: none; a secondary capture: nothing."""
    assert "retraction" in possible("MR", "patient")
    assert possible("CR", "detector") == tuple(
        n for n in possible("CR", "calibrated-fiducial") if not GUIDES[n].needs_mm
    )
    assert possible("OT", "none") == ()
    assert "patient" in MEASURABLE


def test_the_error_of_the_scale_is_part_of_the_spread(film, book):
    """A 10 mm object drawn 10 pixels long, each end missed by 1 pixel: 14 percent of the length; a ratio has none."""
    scale = calibrate(film, (2, 2), (12, 2), known="ball", known_mm=10, by="x", at="2026-01-01")
    space = {"acromion": [(5.0, 2.0)], "head": [(5.0, 7.0)]}
    found = read_off(guide("acromiohumeral_interval"), film, [space], book, calibration=scale)
    (doubt,) = found.doubts
    assert doubt.sd == pytest.approx(found.value * math.sqrt(2) * book.fact("imaging.click.sd_px").value / 10)
    angle = {"top": [(3.0, 3.0)], "bottom": [(3.0, 13.0)], "acromion": [(13.0, 3.0)]}
    assert read_off(guide("critical_shoulder_angle"), film, [angle], book, calibration=scale).doubts == ()


@pytest.mark.req("REQ-007")
def test_a_stated_magnification_undoes_the_detector(film, shoulder, book):
    """D-02: 0.1 mm at the detector and 1.0753: 0.093 mm; its SD enters; a slice or an impossible number is refused."""
    scale = state_magnification(film, 1.0753, 0.02, known="distances", by="x", at="2026-01-01")
    space = {"acromion": [(5.0, 2.0)], "head": [(5.0, 12.0)]}
    found = read_off(guide("acromiohumeral_interval"), film, [space], book, calibration=scale)
    assert found.value == pytest.approx(1 / 1.0753, abs=1e-3)
    assert found.doubts[0].sd == pytest.approx(found.value * 0.02 / 1.0753, rel=1e-2)
    assert found.plane == "calibrated-geometry"
    with pytest.raises(ImageError, match="does not carry"):
        state_magnification(shoulder, 1.1, 0.02, known="x", by="x", at="x")
    for factor, sd in ((0.9, 0.02), (1.1, -1.0), (math.nan, 0.1)):
        with pytest.raises(ImageError, match="impossible"):
            state_magnification(film, factor, sd, known="x", by="x", at="x")
