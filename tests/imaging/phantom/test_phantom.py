"""The invented shoulder: valid files, right side, known sizes, and a reader whose intervals hold the truth."""

import json
import math
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pydicom
import pytest
from scipy import ndimage

from cuffwright.imaging.calibration import calibrate
from cuffwright.imaging.head_circle import fit_head_circle
from cuffwright.imaging.intake.taking_in import take_in
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.phantom.body import (
    CORTEX_MM,
    CUFF_MUSCLE,
    FAT,
    FLUID,
    FOSSA_MM,
    MUSCLE,
    SHAFT_RADIUS,
    TENDON,
    InventedBody,
    InventedTear,
    mean_shoulder,
)
from cuffwright.imaging.phantom.examining import examine, unwritten_picture
from cuffwright.imaging.phantom.film import Film
from cuffwright.imaging.phantom.reader import Reader
from cuffwright.imaging.phantom.sections import SIGNAL, Protocol, draw, planes
from cuffwright.imaging.phantom.truth import truth
from cuffwright.imaging.phantom.writing import WAYS, Study, write_film, write_series
from cuffwright.imaging.picture import read_picture

SMALL = Protocol(pixels=64, pixel_mm=1.8, count=5)
TEAR = InventedTear(4, 18, 12)


@pytest.fixture(scope="module")
def shoulder(book):
    """The shoulder of mean measures."""
    return mean_shoulder(book)


@pytest.fixture(scope="module", params=["right", "left"])
def taken(request, shoulder, tmp_path_factory):
    """A small examination of either side, written and taken in."""
    folder = tmp_path_factory.mktemp(request.param)
    body = InventedBody(shoulder, TEAR, request.param)
    for way in WAYS:
        write_series(Study(folder), body, way, SMALL)
    write_film(Study(folder), body, Film(pixels=64, detector_mm=2.5))
    return body, folder, take_in(folder)


def test_three_planes_and_a_film_are_taken_in_whole(taken):
    """Three even stacks with the step that was asked for, a film without a scale in the patient, the right side."""
    body, _, found = taken
    assert found.set_aside == ()
    stacks = [s for s in found.series if s.modality == "MR"]
    assert [len(s) for s in stacks] == [5, 5, 5]
    assert all(s.stack.even and s.stack.step_mm == pytest.approx(3.5, abs=1e-3) for s in stacks)
    assert {p.side_tag for p in found.pictures} == {body.side}
    assert {p.side_by_position for s in stacks for p in s.pictures} <= {body.side, None}
    (film,) = [s for s in found.series if s.modality == "DX"]
    assert film.plane == "detector"


def test_every_file_says_that_it_is_invented(taken):
    """Name, descriptions and comments; and the fourth word a reader sees is that it was computed."""
    for place in taken[1].iterdir():
        dataset = pydicom.dcmread(place)
        assert str(dataset.PatientName) == "INVENTED^SHOULDER"
        assert "INVENTED" in dataset.SeriesDescription
        assert "INVENTED" in dataset.DerivationDescription


@pytest.mark.parametrize("name", ["coronal_000.dcm", "front.dcm"])
def test_the_files_hold_what_the_standard_requires(taken, name):
    """Every attribute of type 1 and 2 at the top of each mandatory module is there (module table of highdicom)."""
    dataset = pydicom.dcmread(taken[1] / name)
    tables = files("highdicom").joinpath("_standard")
    kinds, iods, attributes = (
        json.loads(tables.joinpath(f"{name}.json").read_text("utf-8"))
        for name in ("sop_class_iod_map", "iod_module_map", "module_attribute_map")
    )
    modules = [m["key"] for m in iods[kinds[dataset.SOPClassUID]] if m["usage"] == "M"]
    needed = {
        a["keyword"]: a["type"] for m in modules for a in attributes[m] if not a["path"] and a["type"] in {"1", "2"}
    }
    assert len(needed) > 20
    assert [k for k in needed if k not in dataset] == []
    assert [k for k, t in needed.items() if t == "1" and dataset[k].VR != "SQ" and dataset[k].value in (None, "")] == []


def test_the_body_is_found_again_in_the_patient(shoulder):
    """A left shoulder is the right one mirrored; to the patient and back is the same point."""
    right, left = (InventedBody(shoulder, TEAR, side) for side in ("right", "left"))
    points = np.random.default_rng(1).normal(0, 30, (20, 3))
    assert np.allclose(left.to_patient(points), right.to_patient(points) * (-1, 1, 1))
    for body in (right, left):
        assert np.allclose(body.from_patient(body.to_patient(points)), points)
        assert np.array_equal(body.tissue(points), right.tissue(points))


def test_the_drawn_muscle_fills_its_share_of_the_fossa(shoulder):
    """Counted on a plane across the fossa: muscle over muscle and fat is the truth's ratio within two percent."""
    body = InventedBody(shoulder, TEAR, muscle_ratio=0.45)
    x, y = np.meshgrid(np.arange(-60, 60, 0.25), np.arange(-60, 60, 0.25))
    points = np.stack([x, y, np.full_like(x, -38.0)], axis=-1).reshape(-1, 3)
    tissue = body.tissue(body.of_scapula(points))
    muscle, fat = ((tissue == kind).sum() for kind in (CUFF_MUSCLE, FAT))
    assert muscle / (muscle + fat) == pytest.approx(0.45, rel=0.02)
    assert truth(body).occupation_ratio == 0.45


def test_the_drawn_tendon_is_as_thick_and_as_far_drawn_back_as_the_truth(shoulder):
    """Along a line square to the bone behind the tear, and along the chart through it, in steps of 0.02 mm."""
    body = InventedBody(shoulder, TEAR)
    chart, step = shoulder.chart, 0.02
    up = np.array([chart.to_humerus(23.0, -8.0, z) for z in np.arange(0, 12, step).tolist()])
    assert (body.tissue(up) == TENDON).sum() * step == pytest.approx(truth(body).tendon_thickness, abs=0.05)
    deepest, edge = (TEAR.front + TEAR.back) / 2, chart.edge((TEAR.front + TEAR.back) / 2)
    along = np.arange(edge - 14, edge, step)
    places = np.array([chart.to_humerus(deepest, v, TEAR.thickness / 2 + float(body.base(np.array(v)))) for v in along])
    gone = body.tissue(places) == FLUID
    assert gone.sum() * step == pytest.approx(TEAR.retraction, abs=0.05)
    foot = chart.to_humerus(deepest, edge)
    assert np.linalg.norm(places[gone][0] - foot) == pytest.approx(truth(body).retraction, abs=0.05)


def test_a_drawn_slice_is_the_mean_about_its_own_plane(shoulder):
    """Thirty sheets through its thickness, averaged here, are nearer to the drawing than those half a step beside."""
    body, plan = InventedBody(shoulder, TEAR), Protocol(pixels=48, pixel_mm=1.5, count=1, noise=0)
    (plane,) = planes(body, "sagittal", plan)
    drawn = draw(body, plane, plan, np.random.default_rng(1)).astype(float)
    grid = np.arange(plan.pixels) * plan.pixel_mm
    flat = np.array(plane.position) + grid[:, None, None] * plane.along_column + grid[None, :, None] * plane.along_row
    signal = np.where(np.arange(len(SIGNAL)) == CUFF_MUSCLE, 0.85 * SIGNAL[MUSCLE] + 0.15 * SIGNAL[FAT], SIGNAL)
    off = []
    for beside in (0.0, 0.5):
        sheets = [((i + 0.5) / 30 - 0.5 + beside) * plan.step_mm * np.array(plane.normal) for i in range(30)]
        mean = np.mean([signal[body.tissue(body.from_patient(flat + s).reshape(-1, 3))] for s in sheets], axis=0)
        off.append(np.abs(ndimage.gaussian_filter(mean.reshape(drawn.shape), 0.5) - drawn).mean())
    assert off[0] < off[1] / 3


def test_fat_in_the_muscle_is_read_off_the_drawn_slice(shoulder, book):
    """35 percent fat in the signal of the muscle: the measure gives the truth's percentage within two percent."""
    body = InventedBody(shoulder, TEAR, muscle_ratio=0.3, muscle_fat=0.35)
    plan = Protocol(pixels=224, pixel_mm=0.6, count=1, noise=10)
    middle = body.of_scapula(np.array([0.0, 0.0, -38.0]))
    (plane,) = planes(body, "sagittal", plan)
    off = float((body.to_patient(middle) - np.array(plane.position)) @ np.array(plane.normal))
    plane = replace(plane, position=tuple((np.array(plane.position) + off * np.array(plane.normal)).tolist()))
    rng = np.random.default_rng(2)
    reader = Reader(body, plane, draw(body, plane, plan, rng), rng, 0.0)
    tissue = {"muscle": (0.0, 0.0, 3.0), "fat": (0.77, 0.0, 1.8), "sound": (4.0, 0.0, 4.0)}
    x0, y0 = (float(v[0]) for v in body.fossa(np.array([[0.0, 0.0, -38.0]])))
    marks = {}
    for name, (ahead, above, half) in tissue.items():
        centre = np.array([(ahead - x0) * FOSSA_MM[0], (above - y0) * FOSSA_MM[1], -38.0])
        corners = centre + half * np.array([(-1, -1, 0), (1, -1, 0), (1, 1, 0), (-1, 1, 0)])
        marks[name] = [tuple(p) for p in reader.pixel(body.of_scapula(corners)).tolist()]
    picture = unwritten_picture(plane, plan.pixels)
    found = read_off(guide("fat_fraction"), picture, [marks], book, values=reader.values.astype(np.float32))
    assert found.value == pytest.approx(truth(body).fat_percent, abs=2)


def test_the_head_is_measured_on_the_invented_slice(shoulder, book, tmp_path):
    """Marrow ends CORTEX_MM inside the head's radius: the fitted circle's 90 percent interval holds that radius."""
    body = InventedBody(shoulder, TEAR, "right")
    plan = Protocol(pixels=200, pixel_mm=0.5, count=3)
    files = write_series(Study(tmp_path), body, "coronal", plan)
    index = int(
        np.argmin([abs(Reader(body, p, None, None, 0).off_plane(np.zeros(3))) for p in planes(body, "coronal", plan)])
    )
    reader = Reader(body, planes(body, "coronal", plan)[index], None, np.random.default_rng(3), 1.0)
    off = float(reader.off_plane(np.zeros(3)))
    true = math.sqrt((body.humerus.head_radius - CORTEX_MM) ** 2 - off**2)
    found = fit_head_circle(read_picture(files[index]), reader.head_marks(), book)
    assert abs(found.radius.value - true) < 1.645 * found.radius.sd + 0.1


@pytest.fixture(scope="module")
def exposures(shoulder, tmp_path_factory):
    """A true view and one turned by 20 degrees, of the left shoulder."""
    body = InventedBody(shoulder, TEAR, "left")
    folders = {turned: tmp_path_factory.mktemp(f"film{turned}") for turned in (0, 20)}
    plan = {"pixels": 240, "detector_mm": 0.6, "noise": 5.0}
    return {t: write_film(Study(f), body, Film(turned_degrees=t, **plan)) for t, f in folders.items()}


def marks_of(exposure):
    """Where the marks of the glenoid's measures fall."""
    body = exposure.body.shoulder
    outline = body.acromion.outline
    reach = np.arctan2(outline[:, 2], outline[:, 1] + body.measures.glenoid_height / 2)
    places = {
        "top": body.landmarks["glenoid top"],
        "bottom": body.landmarks["glenoid bottom"],
        "acromion": outline[int(reach.argmax())],
        "rim_front": body.landmarks["glenoid front"],
        "rim_back": body.landmarks["glenoid back"],
    }
    return {name: [tuple(exposure.place(p).tolist())] for name, p in places.items()}


def test_the_critical_angle_of_a_true_view(exposures, book):
    """The invented shoulder's own angle (33 degrees) within half a degree of perspective; no warning."""
    place, exposure = exposures[0]
    found = read_off(guide("critical_shoulder_angle"), read_picture(place), [marks_of(exposure)], book)
    assert found.value == pytest.approx(truth(exposure.body).critical_shoulder_angle, abs=0.5)
    assert found.warnings == ()


def test_what_lies_nearer_to_the_detector_is_drawn_smaller(exposures):
    """Taken from in front (source 1100 mm, head 90 mm from the detector): 20 mm, 30 mm behind the head or before it."""
    exposure = exposures[0][1]
    head = exposure.body.shoulder.head
    for ahead in (-30.0, 30.0):
        ends = exposure.place(head + np.array([(ahead, 0.0, 0.0), (ahead, 20.0, 0.0)]))
        drawn = np.hypot(*(ends[1] - ends[0])) * exposure.film.detector_mm
        assert drawn == pytest.approx(20 * 1100 / (1100 - 90 - ahead), rel=1e-6)


def test_the_acromial_index_of_a_true_view(exposures, book):
    """Acromion's and humerus' outermost points on the film: the shoulder's own index, within 0.02 of perspective."""
    place, exposure = exposures[0]
    body = exposure.body.shoulder
    outline, reach = body.acromion.outline, body.measures.head_radius + body.measures.beyond_sphere
    places = {"acromion": outline[int(outline[:, 2].argmax())], "humerus": body.head + np.array([0.0, 0.0, reach])}
    marks = {n: m for n, m in marks_of(exposure).items() if n != "acromion"}
    marks |= {name: [tuple(exposure.place(p).tolist())] for name, p in places.items()}
    found = read_off(guide("acromial_index"), read_picture(place), [marks], book)
    assert found.value == pytest.approx(truth(exposure.body).acromial_index, abs=0.02)


def test_a_turned_view_is_warned_of_and_misses(exposures, book):
    """Turned by 20 degrees the angle is off by more than a degree, and the rims tell it."""
    place, exposure = exposures[20]
    found = read_off(guide("critical_shoulder_angle"), read_picture(place), [marks_of(exposure)], book)
    assert any("the view is turned" in words for words in found.warnings)
    assert abs(found.value - truth(exposure.body).critical_shoulder_angle) > 1


def test_the_shadow_ends_where_the_bone_ends(exposures):
    """Across the shaft the film is dark 3 mm beside the bone and bright 2 mm inside its edge, on both sides."""
    place, exposure = exposures[0]
    levels = pydicom.dcmread(place).pixel_array.astype(float)
    body = exposure.body
    middle = body.scapula(body.humerus.shaft_point + np.array([0.0, -2.4 * body.humerus.head_radius, 0.0]))
    radius, aside = SHAFT_RADIUS * body.humerus.head_radius, np.array([0.0, 0.0, 1.0])
    aside = aside - (aside @ body.shoulder.body[:, 1]) * body.shoulder.body[:, 1]
    for side in (-1, 1):
        outside, inside = (
            np.rint(exposure.place(middle + side * (radius + d) * aside / np.linalg.norm(aside))).astype(int)
            for d in (3.0, -2.0)
        )
        assert levels[outside[1], outside[0]] < 100
        assert levels[inside[1], inside[0]] > 400


def test_a_marked_ball_gives_the_true_length_on_the_film(exposures, book):
    """A 25 mm ball at the head's depth, marked by its drawn ends, undoes the magnification of 1.089."""
    place, exposure = exposures[0]
    picture = read_picture(place)
    film = exposure.film
    assert film.magnification == pytest.approx(1100 / 1010)
    drawn = 25 * film.magnification / film.detector_mm
    scale = calibrate(picture, (20, 20), (20 + drawn, 20), known="ball", known_mm=25, by="x", at="2026-01-01")
    marks = {"acromion": [(100.0, 50.0)], "head": [(100.0, 50.0 + 10 * film.magnification / film.detector_mm)]}
    assert read_off(guide("acromiohumeral_interval"), picture, [marks], book, calibration=scale).value == pytest.approx(
        10, abs=1e-3
    )


@pytest.mark.parametrize("seed", [12])
def test_a_reader_of_random_shoulders_is_near_the_truth(book, seed):
    """One of the shoulders of the long check: each value within three SD of the truth, three measures or more read."""
    found = list(examine(book, seed))
    assert len(found) >= 3
    assert [(r.measure, r.value, r.true) for r in found if abs(r.value - r.true) > 3 * r.sd] == []
