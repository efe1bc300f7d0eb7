"""Every order of work of two double-loaded anchors and two lateral ones, layer by layer, with no code of the planner.

A limb is one number: 0 outside, 1-4 unpassed in A, L, S, P, 5-8 passed there, 9-12 knotted there, 13 and 14 fixed. The
arthroscope stands in P or L. Written from the rules in words, for whole layers of states at once.
"""

from collections.abc import Iterator
from itertools import combinations

import numpy as np

A, L, S, P = range(4)
PLACES = np.array([-1, 0, 1, 2, 3, 0, 1, 2, 3, 0, 1, 2, 3, -2, -3], dtype=np.int8)
CAPACITY = (8, 6, 8, 4)
LIMBS, PAIRS = 8, 4
Layer = tuple[np.ndarray, np.ndarray, np.ndarray]
"""Limbs (n, 8), whether the arthroscope is in L (n), and which pairs came in one grasp (n, 4)."""


def least(far: int, anchors_first: bool = True, most: int = 60) -> tuple[int, int]:
    """The fewest moves from nothing in to all fixed, and how many states were seen on the way."""
    layer = np.zeros(1, dtype=np.int64)
    seen = layer
    for depth in range(1, most):
        now = opened(layer)
        found = [packed(new) for new in moved(now, far, anchors_first)]
        layer = np.setdiff1d(np.unique(np.concatenate(found)), seen, assume_unique=True)
        seen = np.union1d(seen, layer)
        limbs, *_ = opened(layer)
        if (limbs >= 13).all(axis=1).any():
            return depth, len(seen)
    return -1, len(seen)


def packed(state: Layer) -> np.ndarray:
    """States as whole numbers."""
    limbs, lateral, together = state
    code = lateral.astype(np.int64)
    for q in range(PAIRS):
        code = code * 2 + together[:, q]
    for i in range(LIMBS):
        code = code * 16 + limbs[:, i]
    return code


def opened(code: np.ndarray) -> Layer:
    """Whole numbers as states."""
    limbs = np.stack([code >> 4 * (LIMBS - 1 - i) & 15 for i in range(LIMBS)], axis=1).astype(np.int8)
    head = code >> 4 * LIMBS
    together = np.stack([head >> (PAIRS - 1 - q) & 1 for q in range(PAIRS)], axis=1).astype(bool)
    return limbs, (head >> PAIRS & 1).astype(bool), together


def moved(state: Layer, far: int, anchors_first: bool) -> Iterator[Layer]:
    """All states one legal move further."""
    limbs, lateral, _ = state
    where = PLACES[limbs]
    count = np.stack([(where == p).sum(axis=1) for p in range(4)], axis=1)
    yield from inserted(state, count)
    yield from retrieved(state, where, count, lateral)
    yield from passed(state, where, count, far, anchors_first)
    yield from finished(state, where, count)
    for to_lateral, portal in ((True, L), (False, P)):
        ok = (lateral != to_lateral) & (count[:, portal] == 0)
        yield limbs[ok], np.full(ok.sum(), to_lateral), state[2][ok]


def inserted(state: Layer, count: np.ndarray) -> Iterator[Layer]:
    """An anchor brings four limbs through S."""
    limbs, lateral, together = state
    for first in (0, 4):
        ok = (limbs[:, first] == 0) & (count[:, S] + 4 <= CAPACITY[S])
        new = limbs[ok].copy()
        new[:, first : first + 4] = 1 + S
        yield new, lateral[ok], together[ok]


def retrieved(state: Layer, where: np.ndarray, count: np.ndarray, lateral: np.ndarray) -> Iterator[Layer]:
    """One or two limbs from one portal to another, not to where the arthroscope stands."""
    limbs, _, together = state
    groups = [(i,) for i in range(LIMBS)] + list(combinations(range(LIMBS), 2))
    for group in groups:
        same = where[:, group[0]] >= 0
        for i in group[1:]:
            same &= where[:, i] == where[:, group[0]]
        for to in range(4):
            ok = same & (where[:, group[0]] != to) & (count[:, to] + len(group) <= CAPACITY[to])
            ok &= ~lateral if to == L else (lateral if to == P else True)
            new, tog = limbs[ok].copy(), together[ok].copy()
            for i in group:
                new[:, i] = new[:, i] - where[ok, i] + to
                tog[:, i // 2] = False
            if len(group) == 2 and group[0] % 2 == 0 and group[1] == group[0] + 1:
                both = (new[:, group[0]] == 5 + to) & (new[:, group[1]] == 5 + to)
                tog[:, group[0] // 2] = both
            yield new, lateral[ok], tog


def passed(state: Layer, where: np.ndarray, count: np.ndarray, far: int, anchors_first: bool) -> Iterator[Layer]:
    """The next limb from the front through the tendon: from L handed anywhere, or pierced from P with the view in L."""
    limbs, lateral, together = state
    all_in = (limbs > 0).all(axis=1) if anchors_first else np.ones(len(limbs), dtype=bool)
    for i in range(LIMBS):
        turn = all_in & (limbs[:, i] >= 1) & (limbs[:, i] <= 4) & (limbs[:, :i] >= 5).all(axis=1)
        for to in range(4):
            if i < LIMBS - far:
                ok = turn & (where[:, i] == L) & (count[:, L] == 1) & ~lateral
                ok &= (to == L) | ((count[:, to] < CAPACITY[to]) & (to != P))
            elif to == P:
                ok = turn & lateral & (count[:, P] - (where[:, i] == P) < CAPACITY[P])
            else:
                continue
            new, tog = limbs[ok].copy(), together[ok].copy()
            new[:, i], tog[:, i // 2] = 5 + to, False
            yield new, lateral[ok], tog


def finished(state: Layer, where: np.ndarray, count: np.ndarray) -> Iterator[Layer]:
    """Knots from the back, alone in L and in one grasp; then lateral anchors with one limb of every knot."""
    limbs, lateral, together = state
    for q in range(PAIRS):
        pair = limbs[:, 2 * q : 2 * q + 2]
        ok = (pair == 5 + L).all(axis=1) & (count[:, L] == 2) & together[:, q] & ~lateral
        ok &= (limbs >= 5).all(axis=1) & (limbs[:, 2 * q + 2 :] >= 9).all(axis=1)
        new, tog = limbs[ok].copy(), together[ok].copy()
        new[:, 2 * q : 2 * q + 2], tog[:, q] = 9 + L, False
        yield new, lateral[ok], tog
    here = (where == L).reshape(-1, PAIRS, 2).sum(axis=2)
    for seat in (13, 14):
        ok = (here == 1).all(axis=1) & (limbs >= 9).all(axis=1) & ~(limbs == seat).any(axis=1) & ~lateral
        new = limbs[ok].copy()
        new[where[ok] == L] = seat
        yield new, lateral[ok], together[ok]
