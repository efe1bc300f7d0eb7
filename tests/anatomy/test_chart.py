"""The map and the bone agree: round trips, normals, curvature, areas, borders."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.case.errors import CaseError

from .conftest import humeri

places = st.tuples(st.floats(-4, 45), st.floats(0.01, 40), st.floats(-1.5, 10))


@given(humeri(), st.lists(places, min_size=1, max_size=20))
@settings(max_examples=40)
def test_round_trip_on_any_bone(shape, spots):
    """Map to bone and back returns the same map point to a millionth of a millimetre."""
    chart = FootprintChart(shape)
    uvz = np.array(spots)
    assert chart.to_chart(chart.to_humerus(*uvz.T)) == pytest.approx(uvz, abs=1e-6)


@given(st.lists(st.tuples(st.floats(-4, 40), st.floats(-25, -3), st.floats(-2, 5)), min_size=1, max_size=20))
@settings(max_examples=20)
def test_round_trip_over_the_cartilage(chart, spots):
    """Medial of the margin the map runs on over the head sphere, and back."""
    uvz = np.array(spots)
    points = chart.to_humerus(*uvz.T)
    assert np.linalg.norm(points, axis=-1) == pytest.approx(chart.shape.head_radius + uvz[:, 2])
    assert chart.to_chart(points) == pytest.approx(uvz, abs=1e-6)


def test_round_trip_from_space(chart, shape):
    """Points around the bone come back from the map to where they were, or are said to have no place on it."""
    rng = np.random.default_rng(5)
    near = chart.to_humerus(rng.uniform(0, 36, 300), rng.uniform(0, 35, 300)) + rng.normal(0, 1, (300, 3))
    uvz = chart.to_chart(near)
    held = np.isfinite(uvz).all(axis=-1)
    assert held.mean() > 0.95
    assert chart.to_humerus(*uvz[held].T) == pytest.approx(near[held], abs=1e-6)


@given(humeri(), st.floats(0, 36), st.floats(0.5, 35))
@settings(max_examples=30)
def test_normals_are_square_and_outward(shape, u, v):
    """The normal is of unit length, square to small steps on the bone, and points away from the shaft's inside."""
    chart = FootprintChart(shape)
    normal = chart.normals(u, v)
    assert np.linalg.norm(normal) == pytest.approx(1)
    step = 1e-4
    for du, dv in ((step, 0), (0, step)):
        move = chart.to_humerus(u + du, v + dv) - chart.to_humerus(u - du, v - dv)
        assert normal @ move / np.linalg.norm(move) == pytest.approx(0, abs=1e-3)
    assert normal @ (chart.to_humerus(u, v, 0.1) - chart.to_humerus(u, v)) > 0


def test_v_is_arc_length_and_u_is_arc_length_on_the_margin(chart):
    """A dense polyline along v, and one along the margin, are as long as the map says."""
    v = np.linspace(0, 40, 20001)
    u = np.linspace(0, 36, 20001)
    for line, length in ((chart.to_humerus(14.0, v), 40), (chart.to_humerus(u, 0.0), 36)):
        assert np.linalg.norm(np.diff(line, axis=0), axis=-1).sum() == pytest.approx(length, abs=1e-5)


@pytest.mark.parametrize(("u", "v"), [(3.0, -4.0), (3.0, 6.0), (15.0, 6.0), (8.0, 16.0), (8.0, 30.0)])
def test_fibre_curvature_is_that_of_a_circle_through_three_points(chart, u, v):
    """Curvature along v equals one over the radius of the circle through three near points in space."""
    a, b, c = (chart.to_humerus(u, v + step) for step in (-0.05, 0.0, 0.05))
    sides = [np.linalg.norm(p - q) for p, q in ((a, b), (b, c), (a, c))]
    area = np.linalg.norm(np.cross(b - a, c - a)) / 2
    assert float(chart.curvature(u, v)) == pytest.approx(4 * area / np.prod(sides), abs=2e-5)


def _meshed(chart, count):
    """Area of the insertion of both tendons as flat triangles."""
    share, u = np.meshgrid(np.linspace(0, 1, count), np.linspace(0, chart.length, 2 * count))
    v = chart.gap(u) + share * (chart.edge(u) - chart.gap(u))
    p = chart.to_humerus(u, v)
    a, b, c, d = p[:-1, :-1], p[1:, :-1], p[1:, 1:], p[:-1, 1:]
    return sum(np.linalg.norm(np.cross(y - x, z - x), axis=-1).sum() / 2 for x, y, z in ((a, b, c), (a, c, d)))


def test_area_matches_a_triangulated_surface(chart):
    """The outline integral of the Jacobian equals the area of a dense triangle mesh of the same patch."""
    both = next(f.points for f in chart.terrain(0.25) if f.name == "both tendons")
    assert chart.area(both) == pytest.approx(_meshed(chart, 400), rel=1e-4)


def test_triangulated_area_converges_in_second_order(chart):
    """Halving the triangles quarters the error, as flat triangles on a curved surface must."""
    sizes = [_meshed(chart, n) for n in (21, 41, 81)]
    order = np.log2((sizes[1] - sizes[0]) / (sizes[2] - sizes[1]))
    assert order == pytest.approx(2, abs=0.3)


def test_area_on_the_head_is_that_of_a_spherical_zone(chart, shape):
    """On the cartilage the area is R2 times turn times the difference of cosines (closed form)."""
    radius, top = shape.head_radius, shape.half_arc - 10 / shape.head_radius
    turn = 20 / shape.margin_radius
    zone = radius**2 * turn * (np.cos(top) - np.cos(shape.half_arc))
    assert chart.rectangle_area(4, 24, -10, 0) == pytest.approx(zone, rel=1e-7)


@given(humeri(), st.floats(1, 35), st.floats(1, 39))
@settings(max_examples=15)
def test_areas_add_up_and_do_not_depend_on_winding(shape, u, v):
    """A rectangle is the sum of its two halves cut at any place, wound either way, and triangles add too."""
    chart = FootprintChart(shape)
    whole = chart.rectangle_area(0, 36, 0, 40)
    assert chart.rectangle_area(0, u, 0, 40) + chart.rectangle_area(u, 36, 0, 40) == pytest.approx(whole, rel=1e-6)
    assert chart.rectangle_area(0, 36, 0, v) + chart.rectangle_area(0, 36, v, 40) == pytest.approx(whole, rel=1e-6)
    assert chart.area([(0, 0), (0, 40), (36, 40), (36, 0)]) == pytest.approx(whole, rel=1e-9)
    halves = chart.area([(0, 0), (36, 0), (36, 40)]) + chart.area([(0, 0), (36, 40), (0, 40)])
    assert halves == pytest.approx(whole, rel=1e-5)


@given(humeri())
@settings(max_examples=20)
def test_curves_are_ordered_and_monotone(shape):
    """Gap grows backwards, the footprint tapers, and gap, edge, corner and wall bottom follow one another."""
    chart = FootprintChart(shape)
    u = np.linspace(0, chart.length, 73)
    assert (np.diff(chart.gap(u)) >= 0).all()
    assert (np.diff(chart.edge(u)) <= 0).all()
    assert (chart.gap(u) <= chart.edge(u)).all()
    assert (chart.edge(u) <= chart.corner(u) + 1e-9).all()
    assert chart.wall_bottom(u) - chart.corner(u) == pytest.approx(chart.wall_height)


def test_what_lies_on_bone_and_footprint(chart):
    """Inside, on the rim and outside: cartilage and groove are no tuberosity, the bare area is no footprint."""
    u = np.array([10.0, 10.0, 10.0, -5.0, -7.0, 35.0, 35.0, 40.0, 10.0])
    v = np.array([5.0, -1.0, 20.0, 5.0, 5.0, 2.0, 8.0, 5.0, 50.0])
    assert chart.on_bone(u, v).tolist() == [True, False, True, True, False, True, True, True, False]
    assert chart.on_footprint(u, v).tolist() == [True, False, False, False, False, False, True, False, False]


def test_terrain_is_complete_and_closed_inside_the_bone(chart):
    """Every named feature lies on the bone, keeps its spacing, and areas enclose something."""
    features = {f.name: f for f in chart.terrain(0.5)}
    assert {"cartilage margin", "attachment gap", "lateral edge", "corner", "wall bottom", "groove edge"} < set(
        features
    )
    assert {"superior facet border", "middle facet border", "overlap", "supraspinatus tendon only"} < set(features)
    for feature in features.values():
        u, v = feature.points.T
        nudged = np.clip(v, 1e-9, chart.wall_bottom(u) - 1e-9)
        assert chart.on_bone(np.clip(u, chart.groove, chart.back), nudged).all(), feature.name
        assert v == pytest.approx(nudged, abs=1e-6)
        if feature.kind == "area":
            assert chart.area(feature.points) > 50
    assert np.ptp(features["supraspinatus"].points[:, 0]) == pytest.approx(22)
    assert np.ptp(features["overlap"].points[:, 0]) == pytest.approx(10)
    with pytest.raises(CaseError, match="spacing"):
        chart.terrain(0.0)


def test_an_outline_of_two_points_is_refused(chart):
    """Two points enclose nothing."""
    with pytest.raises(CaseError, match="three"):
        chart.area([(0, 0), (1, 1)])
