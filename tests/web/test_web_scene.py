"""The repair in three dimensions lies on the bone the numbers are computed on."""

from dataclasses import replace

import numpy as np
import pytest

from cuffwright.course.prepared import prepare
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.web.repair_scene import repair_scene

pytestmark = pytest.mark.door


def lattice(scene: dict) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    found = scene["lattice"]
    shape = (len(found["u"]), len(found["v"]), 3)
    return (
        np.array(found["u"]),
        np.array(found["v"]),
        np.reshape(found["points"], shape),
        np.reshape(found["normals"], shape),
    )


@pytest.mark.req("REQ-003")
def test_the_lattice_is_the_chart_in_space_and_a_left_one_its_mirror_image() -> None:
    """Steps along u and v are the chart's millimetres, normals stand square and outwards; left is right mirrored."""
    sheet = demo_cases()["small_crescent"]
    right = repair_scene(prepare(sheet, load_book(), plain=True))
    u, v, points, out = lattice(right)
    along_v = np.linalg.norm(np.diff(points, axis=1), axis=2)
    assert along_v == pytest.approx(np.full_like(along_v, v[1] - v[0]), rel=0.03)
    margin = int(np.argmin(np.abs(v)))
    along_u = np.linalg.norm(np.diff(points[:, margin], axis=0), axis=1)
    assert along_u == pytest.approx(np.full_like(along_u, u[1] - u[0]), rel=0.03)
    assert np.linalg.norm(out, axis=2) == pytest.approx(np.ones(out.shape[:2]), abs=0.01)
    step = np.diff(points, axis=1)[:-1]
    assert np.abs((step * out[:-1, :-1]).sum(axis=2)).max() < 0.35 * (v[1] - v[0])
    assert ((points * out).sum(axis=2) > 0).mean() > 0.99
    left = repair_scene(prepare(replace(sheet, identity=replace(sheet.identity, side="left")), load_book(), plain=True))
    _, _, mirrored, turned = lattice(left)
    assert mirrored == pytest.approx(points * np.array([1, 1, -1]))
    assert turned == pytest.approx(out * np.array([1, 1, -1]))
    assert left["bone"]["head"]["points"][2] == -right["bone"]["head"]["points"][2]
    assert right["anchors"]["threaded-5.0"] == {"diameter": 5.0, "bed": 15.0}
