"""Fewest moves against trying everything."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.access.moves import fewest_moves
from cuffwright.access.posing import distance_degrees, distances_degrees
from cuffwright.case.reach import Pose

POSES = tuple(Pose(float(10 * n)) for n in range(4))
GROUPS = ([0, 1], [2, 3], [4])


def done(way, reach) -> set[int]:
    """What a sequence of poses gets done, group after group."""
    finished: set[int] = set()
    for place in way:
        for group in GROUPS:
            finished |= {t for t in group if reach[place, t]}
            if any(t not in finished and reach[:, t].any() for t in group):
                break
    return finished


@given(st.lists(st.booleans(), min_size=20, max_size=20))
@settings(max_examples=60)
def test_no_shorter_plan_exists(cells):
    """For four positions and five sites every shorter sequence, all of them tried, leaves something undone."""
    reach = np.array(cells).reshape(4, 5)
    plan, lost = fewest_moves(POSES, reach, GROUPS)
    wanted = {t for t in range(5) if reach[:, t].any()}
    assert set(lost) == set(range(5)) - wanted
    assert {t for _, sites in plan for t in sites} == wanted
    assert plan[0][0] == 0
    assert all(reach[place, t] for place, sites in plan for t in sites)
    for shorter in range(len(plan) - 1):
        assert all(done((0, *way), reach) < wanted for way in product(range(4), repeat=shorter))


def test_groups_keep_their_order():
    """A lateral site in reach at once still waits for the medial one that needs a move."""
    reach = np.array([[0, 1, 1, 1, 1], [1, 0, 0, 0, 1], [0, 0, 0, 0, 0], [0, 0, 0, 0, 0]], dtype=bool)
    plan, lost = fewest_moves(POSES, reach, GROUPS)
    assert lost == []
    order = [t for _, sites in plan for t in sites]
    assert order.index(0) < order.index(2) < order.index(4)
    assert len(plan) == 3


def test_all_distances_at_once_are_those_one_by_one():
    """Root of the summed squares of three turns: 3, 4 and 12 degrees make 13, whichever way they are asked."""
    poses = (Pose(10.0, 5.0, -20.0), Pose(13.0, 9.0, -8.0), Pose(0.0, 0.0, 30.0))
    apart = distances_degrees(poses)
    assert apart[0, 1] == pytest.approx(13.0)
    assert apart == pytest.approx(np.array([[distance_degrees(one, other) for other in poses] for one in poses]))
