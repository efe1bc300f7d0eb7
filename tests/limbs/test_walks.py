"""Random legal work keeps the books, and the bound never promises more moves than a plan needs."""

import numpy as np
import pytest

from cuffwright.limbs.bound import Bound
from cuffwright.limbs.coding import Board
from cuffwright.limbs.following import after
from cuffwright.limbs.search import Search
from tests.limbs.every import Work
from tests.limbs.exact import bound_gaps
from tests.limbs.schematic import schematic
from tests.limbs.walks import broken, start, walk
from tests.sampling import of


@pytest.mark.law
@pytest.mark.req("REQ-168")
def test_random_legal_work_keeps_the_books():
    """A thousand walks of random legal moves, begun anywhere along a plan: no limb is lost, doubled, or goes back."""
    rng, steps, kinds = np.random.default_rng(7), 0, set()
    for size, far in (((2, 2, 1), 1), ((2, 2, 2), 0)):
        board = Board(schematic(*size, far=far))
        along = [start(board.field)]
        for m in Search(board)(along[0]).moves:
            along.append(after(board, along[-1], m))
        for _ in range(500):
            before = along[int(rng.integers(len(along)))]
            for m, now in walk(board, before, rng, 5):
                assert broken(board, before, m, now) == ""
                before, steps = now, steps + 1
                kinds.add(m.kind)
    assert steps > 4000
    assert kinds >= {"insert", "retrieve", "pass", "penetrate", "tie", "seat", "scope", "unpass"}


@pytest.mark.law
@pytest.mark.parametrize(("size", "far"), [((3, 3, 2), 0), ((4, 4, 3), 0), ((4, 4, 3), 4)])
def test_the_bound_never_exceeds_what_is_left_along_a_plan(size, far):
    """Along a plan the bound is never above the moves that remain, and at its end it is nought."""
    board = Board(schematic(*size, far=far))
    search, bound, s = Search(board), Bound(board), start(board.field)
    moves = search(s).moves
    for k, m in enumerate(moves):
        assert bound(s) <= len(moves) - k
        s = after(board, s, m)
    assert bound(s) == 0


@pytest.mark.law
@pytest.mark.req("REQ-207")
@pytest.mark.parametrize(("far", "moves"), [(0, 20), (1, 22)])
def test_the_bound_never_exceeds_the_exact_distance(far, moves):
    """In every state that work on two single-loaded anchors reaches, the bound is at most the exact moves left."""
    left, gaps = bound_gaps(Work(pairs=2, each=2, far=far, back=True))
    assert left == moves
    assert sum(gaps.values()) > 4000
    assert min(gaps) == 0
    assert max(gaps) <= 3


@pytest.mark.law
@pytest.mark.req("REQ-207")
def test_the_bound_of_two_double_loaded_anchors_never_exceeds_the_exact_distance():
    """With two of four sutures tied, 12 of 36 moves are left, and in no state from there does the bound say more."""
    passed, tied = 5, 11
    left, gaps = bound_gaps(Work(), of(9, 1), [passed] * 4 + [tied] * 4)
    assert left == 12
    assert sum(gaps.values()) > of(6_000, 50_000)
    assert min(gaps) == 0
    assert gaps[0] > sum(gaps.values()) / 2
