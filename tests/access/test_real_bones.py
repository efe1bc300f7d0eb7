"""The blocks that stand for bones against the triangles of a real scapula."""

import numpy as np
import pytest

from cuffwright.access.fitting import fit_population
from cuffwright.access.landmarks import checked
from cuffwright.access.landmarks import fitted as fitted_onto
from cuffwright.anatomy.measures import NAMES, ShoulderMeasures
from cuffwright.anatomy.shoulder import build_shoulder
from cuffwright.case.shoulder import Landmark

from .example_bone import POINTS, hit, to_glenoid, triangles


@pytest.fixture(scope="module")
def scapula() -> np.ndarray:
    """Triangles of the scapula in the frame of its glenoid."""
    return to_glenoid(triangles("scapula"))


def marks(names=tuple(POINTS), sd: float = 1.5) -> tuple[Landmark, ...]:
    """Points of the example bone as a scan of a right shoulder would show them (left, back, head)."""
    placed = {name: (-POINTS[name][2], -POINTS[name][0], POINTS[name][1]) for name in names}
    return tuple(Landmark(name, place, sd, "patient") for name, place in placed.items())


def test_the_example_acromion_comes_back_from_its_measures(example):
    """Placed by critical angle and acromiohumeral distance, the corners land within 2 mm of where they were read."""
    for name, point in POINTS.items():
        if name.startswith(("acromion", "coracoid", "head")):
            miss = float(np.linalg.norm(example.landmarks[name] - to_glenoid(point)))
            print(f"\n{name}: {miss:.1f} mm")
            assert miss < 2.0


def test_a_fit_to_real_landmarks_finds_the_real_bone(people, forms, base, mean):
    """From eight points of the example bone: glenoid height, acromion length as measured on it; points within 4 mm."""
    points = checked(marks(), mean.landmarks, "right")
    fitted = fit_population(people, forms, base, points, {"head_radius": (23.1, 0.5)})
    found = dict(zip(NAMES, fitted.mean, strict=True))
    spread = fitted.spreads()
    print("\n", {n: (round(float(found[n]), 1), round(spread[n], 2)) for n in ("glenoid_height", "acromion_length")})
    assert found["glenoid_height"] == pytest.approx(36.0, abs=2.0)
    assert found["acromion_length"] == pytest.approx(46.1, abs=3.0)
    shoulder = build_shoulder(ShoulderMeasures.from_vector(fitted.mean), forms, base)
    model = np.array([shoulder.landmarks[name] for name in POINTS])
    miss = fitted_onto(model, to_glenoid(list(POINTS.values())))[1]
    print(f"the eight points miss by {miss:.1f} mm, root mean square")
    assert miss < 4.0


def test_blocks_and_triangles_agree_on_what_is_in_the_way(example, scapula):
    """1,000 lines from all about the acromion to the outer head: blocks say hit or free as real triangles mostly do.

    At least 85 in 100 agree, and of the lines that meet real bone the blocks miss at most one in eight.
    """
    rng = np.random.default_rng(7)
    bones = [bone for bone in example.solids if bone.name != "clavicle"]
    told = np.zeros((1000, 2), dtype=bool)
    for line in told:
        out, aim = rng.normal(0, 1, 3), rng.normal(0, 0.6, 3) + np.array([0.0, 0.6, 0.8])
        start = example.head + np.array([0.0, 20, 0]) + 60 * out / np.linalg.norm(out)
        end = example.head + 25 * aim / np.linalg.norm(aim)
        line[:] = hit(start, end, scapula), any(bool(bone.struck(start, end, 0.0)) for bone in bones)
    real, block = told.T
    agree, missed = float(np.mean(real == block)), float(np.mean(~block[real]))
    print(f"\n{real.sum()} of 1,000 lines meet real bone; {agree:.0%} agree, {missed:.0%} of real hits missed")
    assert 60 < real.sum() < 900
    assert agree >= 0.85
    assert missed <= 1 / 8
