"""Arm positions in working order: the fewest moves that bring every reachable site into reach."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.posing import distance_degrees
from cuffwright.case.reach import Pose

Bools = NDArray[np.bool_]

Way = tuple[float, tuple[int, ...]]


def fewest_moves(
    poses: Sequence[Pose], reach: Bools, groups: Sequence[Sequence[int]]
) -> tuple[list[tuple[int, list[int]]], list[int]]:
    """Arm positions and the sites done in each, and the sites no position reaches.

    ``reach`` (p, t) tells which sites each pose reaches; ``groups`` are done one after the other, in any order
    within. It begins at pose 0. Found exactly, by breadth: first with no move, then with one, and so on; among plans
    of equally many moves the one that swings the arm least.
    """
    lost = [t for group in groups for t in group if not reach[:, t].any()]
    wanted = [[t for t in group if t not in lost] for group in groups]
    able = [sum(1 << int(t) for t in np.flatnonzero(row)) for row in reach]
    masks = [sum(1 << t for t in group) for group in wanted]
    goal = sum(masks)
    front: dict[int, Way] = {_work(0, able[0], masks): (0.0, (0,))}
    seen = set(front)
    while goal not in front:
        front = _moved(front, poses, able, masks, seen)
        seen |= set(front)
    return _told(front[goal][1], able, masks), lost


def _work(done: int, able: int, masks: Sequence[int]) -> int:
    """The sites done after working on from ``done`` at a pose that reaches ``able``, group after group."""
    for mask in masks:
        done |= mask & able
        if mask & ~done:
            break
    return done


def _moved(
    front: dict[int, Way], poses: Sequence[Pose], able: Sequence[int], masks: Sequence[int], seen: set[int]
) -> dict[int, Way]:
    """One more move from every state of ``front``."""
    further: dict[int, Way] = {}
    for done, (swung, way) in front.items():
        for place, can in enumerate(able):
            after = _work(done, can, masks)
            if after == done or after in seen:
                continue
            total = swung + distance_degrees(poses[way[-1]], poses[place])
            if after not in further or total < further[after][0]:
                further[after] = (total, (*way, place))
    return further


def _told(way: tuple[int, ...], able: Sequence[int], masks: Sequence[int]) -> list[tuple[int, list[int]]]:
    plan, done = [], 0
    for place in way:
        after = _work(done, able[place], masks)
        order = [t for mask in masks for t in range(mask.bit_length()) if (mask & after & ~done) >> t & 1]
        plan.append((place, order))
        done = after
    return plan
