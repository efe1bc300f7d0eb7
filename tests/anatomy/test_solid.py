"""Blocks, rods and balls against brute force: many points along the instrument."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cuffwright.anatomy.solid import Ball, Rod, prism, segment_distance

points = st.tuples(*[st.floats(-40, 40)] * 3).map(np.array)
OUTLINE = np.array([[-20.0, -10, 0], [20, -10, 0], [15, 12, 0], [-15, 12, 0]])
UP = np.array([0.0, 0, 1])


def nearest(a, b, c, d, steps: int = 161) -> float:
    """Least distance between two segments, by trying many points on both."""
    share = np.linspace(0, 1, steps)[:, None]
    one, other = a + share * (b - a), c + share * (d - c)
    return float(np.linalg.norm(one[:, None] - other[None], axis=-1).min())


@given(points, points, points, points)
@settings(max_examples=60)
def test_distance_of_segments_is_the_least_over_their_points(a, b, c, d):
    """The closed form is never above the tried points and at most their spacing below."""
    exact, tried = float(segment_distance(a, b, c, d)), nearest(a, b, c, d)
    spacing = (np.linalg.norm(b - a) + np.linalg.norm(d - c)) / 160
    assert exact <= tried + 1e-6
    assert exact >= tried - spacing - 1e-6


@given(points, points)
@settings(max_examples=80)
def test_a_block_is_struck_where_a_point_of_the_line_lies_in_it(start, end):
    """For a thin instrument the clipped line says what 2,000 points along it say, grazes left out."""
    block = prism("plate", OUTLINE, UP, 8.0)
    along = start + np.linspace(0, 1, 2000)[:, None] * (end - start)
    deepest = float((along @ block.normals.T - block.offsets).max(axis=1).min())
    assume(abs(deepest) > 0.1)
    assert bool(block.struck(start, end, 0.0)) == (deepest < 0)


@given(points, points, points, st.floats(1, 15), st.floats(0, 5))
@settings(max_examples=40)
def test_rods_and_balls_are_struck_within_the_sum_of_radii(start, end, centre, radius, tool):
    """A rod and a ball are struck exactly where the axes come closer than both radii."""
    tip = centre + np.array([10.0, 5.0, 0.0])
    room = float(segment_distance(start, end, centre, tip)) - radius - tool
    assume(abs(room) > 1e-6)
    assert bool(Rod("rod", centre, tip, radius).struck(start, end, tool)) == (room < 0)
    room = nearest(start, end, centre, centre) - radius - tool
    assume(abs(room) > 0.7)
    assert bool(Ball("ball", centre, radius).struck(start, end, tool)) == (room < 0)


@given(points, points, st.floats(0, 5))
@settings(max_examples=30)
def test_a_thicker_instrument_strikes_whatever_a_thinner_one_does(start, end, extra):
    """Growing the instrument never frees a path."""
    block = prism("plate", OUTLINE, UP, 8.0)
    if block.struck(start, end, 1.0):
        assert block.struck(start, end, 1.0 + extra)
