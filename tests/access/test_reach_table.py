"""The published geometry of anchor paths on the example bone, through the same code that answers a case."""

from dataclasses import replace

import numpy as np
import pytest

from cuffwright.access.paths import find_paths
from cuffwright.access.posing import stand
from cuffwright.access.sites import Site, Spots, Tools
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.case.reach import Pose

from .example_bone import AXES, HEAD, to_glenoid

pytestmark = pytest.mark.published

MEDIAL = np.array([1.2, 17.2, 18.6])
SHAFT = np.array([0.037, 0.998, 0.049]) / np.linalg.norm([0.037, 0.998, 0.049])
FACET = np.radians(20.4)
ENTRIES = {"anterolateral": (-3.0, -2.6, 6.0), "mid": (-17.5, -0.3, 10.0), "posterior third": (-33.8, -0.7, 9.1)}
TABLE = {
    (0, 30): ((21, 40, 37), (25, 50, 49)),
    (0, 0): ((26, 33, 22), (35, 47, 30)),
    (0, -30): ((33, 27, 13), (48, 39, 18)),
    (15, 0): ((36, 47, 30), (43, 65, 38)),
    (30, 30): ((24, 58, 60), (21, 56, 73)),
    (30, 0): ((44, 65, 39), (43, 85, 44)),
    (30, -30): ((76, 46, 25), (72, 48, 26)),
}
"""Abduction and outer rotation: angles of the three entries, as measured and with the acromion 7.2 mm wider."""


def hanging(example) -> tuple[np.ndarray, Shoulder]:
    """The turn from the file's humerus to one whose shaft is upright, and the shoulder it hangs from at zero pose."""
    across = np.cross([0.0, 1, 0], SHAFT)
    cross = np.array([[0, -across[2], across[1]], [across[2], 0, -across[0]], [-across[1], across[0], 0]])
    upright = np.eye(3) + cross + cross @ cross / (1 + SHAFT[1])
    rest = AXES @ upright
    angles = {
        "rest_protraction_degrees": np.degrees(np.arctan2(rest[2, 0], rest[2, 2])),
        "rest_face_degrees": np.degrees(np.arcsin(rest[2, 1])),
        "rest_tilt_degrees": np.degrees(np.arctan2(-rest[0, 1], rest[1, 1])),
    }
    hung = Shoulder(replace(example.measures, **angles), example.forms, example.humerus)
    assert np.allclose(hung.body, rest)
    return upright, hung


def angles(example, book, pose: Pose, wider: float = 0.0) -> np.ndarray:
    """Path angles (3,) from the three entries to the medial point, by the code of the reach table."""
    tools = Tools.from_facts(book)
    upright, hung = hanging(example)
    point = MEDIAL - (HEAD - np.array([-9.55, -34.0, 9.0]))
    beside = point - (point @ SHAFT) * SHAFT
    normal = np.cos(FACET) * SHAFT + np.sin(FACET) * beside / np.linalg.norm(beside)
    spots = Spots((point @ upright)[None], (normal @ upright)[None], np.eye(3)[:1], np.eye(3)[2:])
    skins = np.array([to_glenoid(entry) for entry in ENTRIES.values()])
    skins = skins + (5 + wider) * np.array([0.0, 0, 1]) + 6 * AXES[:, 1]
    stance = stand(hung, (pose,), 0.0)
    sites = (Site("M", "medial anchor", 0, 0, 0, 2.5, bed=15.0),)
    return find_paths(hung, sites, spots, skins, stance, tools).angle[0, :, 0]


@pytest.mark.parametrize("position", sorted(TABLE))
def test_reach_table_of_the_example_bone(example, book, position):
    """Angle of the path above the bone, 7 arm positions, 3 entries, 2 acromia: within 3 degrees (own measurement)."""
    pose = Pose(float(position[0]), rotation_degrees=float(position[1]))
    for wider, expected in zip((0.0, 7.2), TABLE[position], strict=True):
        found = angles(example, book, pose, wider)
        print(f"\n{position}, {wider} mm wider: {np.round(found, 1)}, table {expected}")
        assert np.max(np.abs(found - expected)) <= 3.0


def test_each_fifteen_degrees_of_abduction_steepen_the_path_by_about_as_much(example, book):
    """From 0 to 15 and 15 to 30 degrees the mid lateral path gains 15, give or take 5."""
    steps = [angles(example, book, Pose(a))[1] for a in (0.0, 15.0, 30.0)]
    print(f"\nmid lateral path at 0, 15, 30 degrees: {np.round(steps, 1)}")
    assert np.diff(steps) == pytest.approx([15, 15], abs=5)


def test_inner_rotation_suits_entries_in_front_and_outer_those_behind(example, book):
    """Turning the arm out flattens the anterolateral path and steepens the posterior one."""
    inner, outer = (angles(example, book, Pose(15.0, rotation_degrees=r)) for r in (-30.0, 30.0))
    assert inner[0] > outer[0]
    assert inner[2] < outer[2]
