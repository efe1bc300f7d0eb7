"""From the footprint over the corner to the lateral wall: path and angle are those of the bone in space."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.case.errors import CaseError

from .conftest import humeri


@given(humeri(), st.floats(0, 34), st.floats(2, 16))
@settings(max_examples=30)
def test_path_and_exit_angle_are_those_in_space(shape, u, drop):
    """Arc of a dense polyline on the bone, and the angle between two straight lines in space, agree with the run."""
    chart = FootprintChart(shape)
    run = chart.wall_run(u, drop)
    line = chart.to_humerus(u, np.linspace(run.edge, run.place, 4001))
    assert run.path == pytest.approx(np.linalg.norm(np.diff(line, axis=0), axis=-1).sum(), abs=1e-4)
    plane, way = line[0] - chart.to_humerus(u, 0.0), line[-1] - line[0]
    cosine = plane @ way / (np.linalg.norm(plane) * np.linalg.norm(way))
    assert abs(run.exit_degrees) == pytest.approx(np.degrees(np.arccos(np.clip(cosine, -1, 1))), abs=1e-4)


@given(humeri(), st.floats(0, 34), st.floats(2, 16))
@settings(max_examples=30)
def test_flattened_place_keeps_path_and_angle(shape, u, drop):
    """In the flattened frame the wall place lies at the path length from the edge, under the exit angle."""
    chart = FootprintChart(shape)
    run, (v, z) = chart.wall_run(u, drop), chart.wall_point(u, drop)
    assert np.hypot(v - run.edge, z) == pytest.approx(run.path)
    assert np.degrees(np.arctan2(-z, v - run.edge)) == pytest.approx(chart.exit_angle_degrees(u, drop))


def test_deeper_on_the_wall_exits_steeper(chart):
    """Over the supraspinatus the exit angle grows with the drop and stays below the whole turn of the bone."""
    angles = [chart.exit_angle_degrees(8.0, drop) for drop in (2, 3, 6, 10, 15, 20, 28)]
    assert (np.diff(angles) > 0).all()
    assert angles[-1] < 90 - float(chart.inclination_degrees(8.0, 7.0)) + 5


def test_off_the_wall_is_refused(chart):
    """A place at or medial to the edge, or below the wall, is no place for a lateral anchor."""
    for drop in (-1.0, 0.0, 32.0):
        with pytest.raises(CaseError, match="off the lateral wall"):
            chart.wall_point(10.0, drop)


@pytest.mark.published
def test_exit_angle_beside_the_assumed_one(chart):
    """The prototype of the pressure model assumed 65 and 75 degrees; the bone's own angle is printed beside them."""
    angles = {u: round(chart.exit_angle_degrees(u, 10.0), 1) for u in (0.0, 5.0, 10.0, 15.0, 22.0, 30.0, 36.0)}
    print(f"\nexit angle 10 mm below the edge by u: {angles}; assumed before: 65 and 75")
    assert max(angles.values()) < 65
    assert angles[5.0] > angles[22.0] > angles[36.0] > 0
