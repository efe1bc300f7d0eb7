"""One shoulder from the case: what is measured moves chart and paths alike, and wrong landmarks stop everything."""

from dataclasses import replace

import numpy as np
import pytest

from cuffwright.access.fitting import fit_population
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import NAMES
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.measurement import Measurement
from cuffwright.case.reach import Pose
from cuffwright.case.shoulder import Shoulder
from cuffwright.case.tissues import Bone, Cyst, Footprint
from cuffwright.course.access import access, at_pose, ready
from cuffwright.course.hold import hold, prepare
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import read_case, write_case
from cuffwright.web.measures import measures

from .conftest import sheet_of
from .test_landmarks import flipped, scanned, swapped

BOOK = load_book()


def seen(side: str = "right", **fields):
    """A case whose shoulder holds these fields."""
    return replace(sheet_of(side), shoulder=Shoulder(**fields))


def of(value: float, sd: float = 0.5) -> Measurement:
    """A measure read on an image."""
    return Measurement(value, sd, "image")


@pytest.mark.parametrize(
    "measured",
    [
        {"footprint": Footprint(head_radius_mm=of(27.5))},
        {"shoulder": Shoulder(retroversion_degrees=of(45.0))},
        {"shoulder": Shoulder(tuberosity_degrees=of(74.0))},
        {"shoulder": Shoulder(beyond_sphere_mm=of(6.5))},
    ],
    ids=["head", "retroversion", "tuberosity angle", "beyond sphere"],
)
def test_one_measure_moves_chart_and_paths(measured):
    """A measure of the humerus changes the chart's bone and the angles of the paths; both stand on one humerus."""
    plain = ready(sheet_of(), BOOK, pattern="bridging-knotted")
    own = ready(replace(sheet_of(), **measured), BOOK, pattern="bridging-knotted", layout=plain.layout)
    before, after = (one.prepared.chart.to_humerus(12.0, 6.0) for one in (plain, own))
    assert np.linalg.norm(after - before) > 0.5
    angles = [at_pose(one, Pose(15.0)).angle for one in (plain, own)]
    assert np.max(np.abs(angles[1] - angles[0])) > 0.5
    for one in (plain, own):
        assert one.scene.shoulder.humerus == one.prepared.chart.shape


def test_a_head_measured_alone_scales_the_mean_humerus():
    """Lengths that go with the head follow it in proportion: the fit equals the mean bone scaled, within 0.05 mm."""
    head = Footprint(head_radius_mm=of(28.0, 0.0))
    ours = prepare(replace(sheet_of(), footprint=head), BOOK).chart.shape
    scaled = HumerusShape.from_facts(Citing(BOOK), 28.0)
    for name in ("head_radius", "beyond_sphere", "medial_offset", "posterior_offset", "wall_height"):
        assert getattr(ours, name) == pytest.approx(getattr(scaled, name), abs=0.05)
    assert ours.footprint.length == pytest.approx(scaled.footprint.length, abs=0.05)


def test_a_distance_on_film_is_brought_to_space():
    """83 volunteers, 8.8 mm on film and 7.3 in space: whoever measures 8.8 on film has the mean shoulder."""
    film = replace(sheet_of().acromion, acromiohumeral_interval_mm=of(8.8))
    people = [prepare(sheet, BOOK).shoulder.people for sheet in (sheet_of(), replace(sheet_of(), acromion=film))]
    assert people[1].mean == pytest.approx(people[0].mean)
    assert people[1].mean[NAMES.index("acromion_distance")] == pytest.approx(7.3)


def test_nothing_known_leaves_the_mean_humerus_to_the_last_bit():
    """Without any measure of the humerus the chart is the published mean, and so it is with one of the acromion."""
    mean = HumerusShape.from_facts(Citing(BOOK))
    assert prepare(sheet_of(), BOOK).chart.shape == mean
    acromion = replace(sheet_of().acromion, critical_shoulder_angle_degrees=of(38.0))
    assert prepare(replace(sheet_of(), acromion=acromion), BOOK).chart.shape == mean


def test_closed_form_and_search_agree(people, forms, base, mean):
    """Measures alone are weighed in closed form; with one landmark, which alone says nothing, the search agrees."""
    measured = {"head_radius": (27.0, 0.5), "glenoid_height": (35.0, 1.0), "lateral_angle_degrees": (85.0, 3.0)}
    closed = people.given(measured)
    searched = fit_population(people, forms, base, scanned(mean)[:1], measured)
    assert np.max(np.abs(closed.mean - searched.mean) / people.spread) < 1e-3
    assert np.max(np.abs(closed.spread / searched.spread - 1)) < 1e-3
    assert closed.mean[NAMES.index("acromion_length")] > people.mean[NAMES.index("acromion_length")]


def test_landmarks_of_the_case_file_reach_the_answer(mean):
    """Landmarks and measures written into a case, read back, give the chart and the paths they give as arguments."""
    marks = scanned(mean, sd=0.5)
    angle = {"retroversion_degrees": of(40.0, 2.0)}
    told = read_case(write_case(seen(landmarks=marks, **angle)))
    own = ready(told, BOOK, pattern="double-row")
    asked = ready(sheet_of(), BOOK, pattern="double-row", landmarks=marks, measures=angle)
    assert own.landmarks == asked.landmarks == marks
    assert own.prepared.chart.shape == asked.prepared.chart.shape
    assert np.array_equal(at_pose(own, Pose(15.0)).angle, at_pose(asked, Pose(15.0)).angle)
    assert "shoulder.retroversion_degrees" in dict(own.prepared.inputs)


@pytest.mark.req("REQ-003")
@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda marks: flipped(marks, -1, 1, 1), "those of a left shoulder and the case says right"),
        (lambda marks: flipped(marks, 1, -1, 1), "mirrored"),
        (lambda marks: flipped(marks, -1, -1, 1), "turned round"),
        (
            lambda marks: swapped(marks, "glenoid top", "glenoid bottom"),
            "glenoid bottom and glenoid top seem",
        ),
        (lambda marks: (marks[0], replace(marks[1], place_mm=marks[0].place_mm), *marks[2:]), "at the same place"),
    ],
    ids=["wrong side", "mirrored", "turned round", "wrong order", "coincident"],
)
def test_wrong_landmarks_in_a_case_are_refused_by_name_everywhere(mean, change, words):
    """A case with wrong landmarks is refused with their fault by strength and by access alike."""
    wrong = seen(landmarks=change(scanned(mean)))
    with pytest.raises(CaseError, match=words):
        hold(wrong, BOOK, pattern="double-row", draws=1)
    with pytest.raises(CaseError, match=words):
        ready(wrong, BOOK, pattern="double-row")


def test_left_landmarks_of_a_left_case_give_the_right_ones_chart(mean):
    """The same bone seen from the other side: one chart to the last bit."""
    marks = scanned(mean, sd=0.5)
    left = prepare(seen("left", landmarks=flipped(marks, -1, 1, 1)), BOOK)
    assert left.chart.shape == prepare(seen(landmarks=marks), BOOK).chart.shape


def test_another_landmark_or_cyst_is_another_answer(mean):
    """The hash of an answer's inputs follows each landmark and each place in the bone."""
    marks = scanned(mean)
    moved = (replace(marks[0], sd_mm=2.0), *marks[1:])
    cyst = replace(sheet_of(), bone=Bone(cysts=(Cyst(2.0, 9.0, 3.0, 5.0),)))
    deeper = replace(sheet_of(), bone=Bone(cysts=(Cyst(2.0, 9.0, 3.0, 6.0),)))
    cases = (sheet_of(), seen(landmarks=marks), seen(landmarks=moved), cyst, deeper)
    hashes = {access(sheet, BOOK, pattern="double-row", draws=1).input_hash for sheet in cases}
    assert len(hashes) == len(cases)


def test_only_known_measures_of_the_shoulder_are_listed():
    """The list of a case's measures grows by what is measured of the shoulder, not by what is not; in words."""
    plain, known = sheet_of(), seen(retroversion_degrees=of(31.0), fat_mm=of(12.0))
    rows = {row.path: row for row in measures(known)}
    assert set(rows) - {row.path for row in measures(plain)} == {"shoulder.retroversion_degrees", "shoulder.fat_mm"}
    assert rows["shoulder.retroversion_degrees"].label == "Retroversion"
    assert rows["shoulder.fat_mm"].value == "12 mm, SD 0.5 mm"
