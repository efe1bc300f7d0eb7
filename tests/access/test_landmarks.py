"""Landmarks are looked at before they are believed, and the more there are the narrower the shoulder."""

from dataclasses import replace
from itertools import pairwise
from typing import get_args

import numpy as np
import pytest

from cuffwright.access.fitting import fit_population
from cuffwright.access.landmarks import checked
from cuffwright.anatomy.measures import NAMES
from cuffwright.anatomy.shoulder import Shoulder, build_shoulder
from cuffwright.case.errors import CaseError
from cuffwright.case.measurement import Measurement
from cuffwright.case.shoulder import Landmark, LandmarkName, landmark_name
from cuffwright.case.shoulder import Shoulder as SeenShoulder

BODY_TO_PATIENT = np.array([[0.0, 0, -1], [-1, 0, 0], [0, 1, 0]])
"""Forward, up, lateral of a right shoulder in left, back, head."""


def scanned(shoulder: Shoulder, seed: int = 0, sd: float = 1.0) -> tuple[Landmark, ...]:
    """All landmarks of a right shoulder as a scan shows them, each off by ``sd`` mm."""
    rng = np.random.default_rng(seed)
    middle = np.array([-150.0, 20, 1400])
    found = []
    for name, point in shoulder.landmarks.items():
        x, y, z = (BODY_TO_PATIENT @ shoulder.body.T @ point + middle + rng.normal(0, sd, 3)).tolist()
        found.append(Landmark(name, (x, y, z), max(sd, 0.1), "patient"))
    return tuple(found)


def flipped(marks: tuple[Landmark, ...], *signs: float) -> tuple[Landmark, ...]:
    """The landmarks with axes turned round."""
    return tuple(replace(m, place_mm=tuple(s * x for s, x in zip(signs, m.place_mm, strict=True))) for m in marks)


def swapped(marks: tuple[Landmark, ...], one: str, other: str) -> tuple[Landmark, ...]:
    """The landmarks with two names exchanged."""
    names = {one: other, other: one}
    return tuple(replace(m, name=names.get(m.name, m.name)) for m in marks)


@pytest.mark.parametrize("seed", range(6))
def test_good_landmarks_of_either_side_are_accepted(people, forms, base, mean, seed):
    """Ten points of any drawn shoulder pass, right as they are and left as their mirror image, with the same result."""
    shoulder = build_shoulder(people.draw(np.random.default_rng(seed)), forms, base)
    marks = scanned(shoulder, seed, 1.5)
    right = checked(marks, mean.landmarks, "right")
    left = checked(flipped(marks, -1, 1, 1), mean.landmarks, "left")
    assert right == left == marks


def test_a_wrong_side_is_named(mean):
    """Points of a left shoulder in a right case are refused with the word left."""
    with pytest.raises(CaseError, match="those of a left shoulder and the case says right"):
        checked(flipped(scanned(mean), -1, 1, 1), mean.landmarks, "right")


def test_a_mirrored_image_is_named(mean):
    """A front-to-back mirrored image is refused as mirrored."""
    with pytest.raises(CaseError, match="mirrored"):
        checked(flipped(scanned(mean), 1, -1, 1), mean.landmarks, "right")


def test_a_patient_turned_round_is_named(mean):
    """Left and right and front and back both turned, a true turn and no mirror, is refused as turned."""
    with pytest.raises(CaseError, match="turned round"):
        checked(flipped(scanned(mean), -1, -1, 1), mean.landmarks, "right")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("acromion anterolateral corner", "acromion posterolateral corner"),
        ("glenoid top", "glenoid bottom"),
        ("coracoid tip", "acromion posterolateral corner"),
    ],
)
def test_exchanged_names_are_named(mean, one, other):
    """Two names exchanged are refused with both names."""
    with pytest.raises(CaseError, match="seem to be exchanged") as told:
        checked(swapped(scanned(mean), one, other), mean.landmarks, "right")
    assert one in str(told.value)
    assert other in str(told.value)


def test_coincident_doubled_unknown_and_mixed_are_named(mean):
    """One place marked twice, one name twice, a name nobody knows, two frames: each its own sentence."""
    marks = scanned(mean)
    at = replace(marks[0], name="acromion tip")
    with pytest.raises(CaseError, match="glenoid top and acromion tip are marked at the same place"):
        checked((marks[0], at), mean.landmarks, "right")
    with pytest.raises(CaseError, match="glenoid top stands twice"):
        SeenShoulder((marks[0], marks[0]))
    with pytest.raises(CaseError, match="mix the patient's frame"):
        SeenShoulder((marks[0], replace(marks[1], frame="scapula")))
    with pytest.raises(CaseError, match="there is no landmark nose; the landmarks are glenoid top"):
        landmark_name("nose")
    with pytest.raises(CaseError, match="no finite place"):
        replace(marks[0], place_mm=(float("nan"), 0.0, 0.0))
    with pytest.raises(CaseError, match="SD above 0"):
        replace(marks[0], sd_mm=0.0)
    with pytest.raises(CaseError, match="glenoid_height_mm is 0"):
        SeenShoulder(glenoid_height_mm=Measurement(0.0, 1.0, "typed"))


def test_the_names_of_the_case_are_the_points_of_the_model(mean):
    """Every landmark the case may name is a point of the parametric shoulder, and the other way round."""
    assert set(get_args(LandmarkName)) == set(mean.landmarks)


def test_more_landmarks_make_a_narrower_shoulder(people, forms, base, mean):
    """With 0, 2, 5 and all ten points no spread grows, and the last is a third of the first where points bear on it."""
    marks = scanned(mean)
    spreads = []
    for count in (0, 2, 5, len(marks)):
        fitted = fit_population(people, forms, base, checked(marks[:count], mean.landmarks, "right"), {})
        spreads.append(fitted.spread)
    assert all(np.all(after <= before * 1.02) for before, after in pairwise(spreads))
    for name in ("glenoid_height", "acromion_length", "coracoid_up", "head_radius"):
        place = NAMES.index(name)
        assert spreads[-1][place] < spreads[0][place] / 2
    place = NAMES.index("arm_length")
    assert spreads[-1][place] > 0.7 * spreads[0][place]


def test_the_fit_finds_the_shoulder_and_its_spread_is_honest(people, forms, base, mean):
    """Over 12 drawn shoulders with 1 mm points: misses over told spread have a mean square near 1 (0.5 to 2)."""
    square = []
    names = ("glenoid_height", "acromion_length", "shoulder_angle_degrees", "coracoid_up", "coracoid_forward")
    for seed in range(12):
        true = people.draw(np.random.default_rng(100 + seed))
        marks = checked(scanned(Shoulder(true, forms, base), seed), mean.landmarks, "right")
        fitted = fit_population(people, forms, base, marks, {})
        for name in names:
            place = NAMES.index(name)
            square.append(((fitted.mean[place] - true.vector[place]) / fitted.spread[place]) ** 2)
    print(f"\nmean square of misses over told spread: {np.mean(square):.2f}")
    assert 0.5 < np.mean(square) < 2.0


def test_a_measure_moves_what_goes_with_it(people, forms, base):
    """A measured head of 28 mm is believed, and draws the glenoid's height along by the published-size correlation."""
    fitted = fit_population(people, forms, base, (), {"head_radius": (28.0, 0.1)})
    head, glenoid = NAMES.index("head_radius"), NAMES.index("glenoid_height")
    assert fitted.mean[head] == pytest.approx(28.0, abs=0.05)
    assert fitted.mean[glenoid] == pytest.approx(39 + 0.6 * 3.5 * 4 / 2.1, abs=0.1)
