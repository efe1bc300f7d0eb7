"""Every order of work of a few sutures and two lateral anchors, layer by layer, with no code of the planner.

A limb is one number: 0 outside, 1-4 unpassed in A, L, S, P, 5-8 passed there, 9-12 knotted there, 13 and 14 fixed. The
arthroscope stands in P or L. Written from the rules in words, for whole layers of states at once.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

A, L, S, P = range(4)
PLACES = np.array([-1, 0, 1, 2, 3, 0, 1, 2, 3, 0, 1, 2, 3, -2, -3], dtype=np.int8)
CAPACITY = (8, 6, 8, 4)
Layer = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
"""Limbs (n, 8), whether the arthroscope is in L (n), which pairs came in one grasp (n, 4), where each came from (n)."""


@dataclass(frozen=True)
class Work:
    """What is to be done and how: ``pairs`` sutures, ``each`` limbs an anchor, the last ``far`` holes pierced.

    ``pass_alone`` and ``seat_alone`` bind the cannula to what is passed or seated; ``second`` lets knots be tied in A;
    with ``back`` a passed limb may be taken out of its hole again.
    """

    pairs: int = 4
    each: int = 4
    far: int = 0
    anchors_first: bool = True
    pass_alone: bool = True
    seat_alone: bool = True
    second: bool = False
    back: bool = False

    @property
    def limbs(self) -> int:
        """How many limbs there are."""
        return 2 * self.pairs


def least(work: Work, most: int = 60) -> tuple[int, int]:
    """The fewest moves from nothing in to all fixed, and how many states were seen on the way."""
    layer = np.zeros(1, dtype=np.int64)
    seen = layer
    for depth in range(1, most):
        found = [packed(new, work) for new in moved(opened(layer, work), work)]
        layer = np.setdiff1d(distinct(found), seen, assume_unique=True)
        seen = distinct([seen, layer])
        limbs, *_ = opened(layer, work)
        if (limbs >= 13).all(axis=1).any():
            return depth, len(seen)
    return -1, len(seen)


def distinct(codes: list[np.ndarray]) -> np.ndarray:
    """Each whole number once, in order; by sorting, which is several times quicker here than a table of them."""
    found = np.sort(np.concatenate(codes))
    return found[np.flatnonzero(np.diff(found, prepend=found[:1] - 1))]


def packed(state: Layer, work: Work) -> np.ndarray:
    """States as whole numbers."""
    limbs, lateral, together, _ = state
    code = lateral.astype(np.int64)
    for q in range(work.pairs):
        code = code * 2 + together[:, q]
    for i in range(work.limbs):
        code = code * 16 + limbs[:, i]
    return code


def opened(code: np.ndarray, work: Work) -> Layer:
    """Whole numbers as states, each come from itself."""
    limbs = np.stack([code >> 4 * (work.limbs - 1 - i) & 15 for i in range(work.limbs)], axis=1).astype(np.int8)
    head = code >> 4 * work.limbs
    together = np.stack([head >> (work.pairs - 1 - q) & 1 for q in range(work.pairs)], axis=1).astype(bool)
    return limbs, (head >> work.pairs & 1).astype(bool), together, np.arange(len(code), dtype=np.int32)


def moved(state: Layer, work: Work) -> Iterator[Layer]:
    """All states one legal move further."""
    limbs, lateral, together, number = state
    where = PLACES[limbs]
    count = np.stack([(where == p).sum(axis=1) for p in range(4)], axis=1)
    yield from inserted(state, count, work)
    yield from retrieved(state, where, count, work)
    yield from passed(state, where, count, work)
    yield from tied(state, count, work)
    yield from seated(state, where, work)
    if work.back:
        yield from taken_back(state, where, count, work)
    for to_lateral, portal in ((True, L), (False, P)):
        ok = (lateral != to_lateral) & (count[:, portal] == 0)
        yield limbs[ok], np.full(ok.sum(), to_lateral), together[ok], number[ok]


def inserted(state: Layer, count: np.ndarray, work: Work) -> Iterator[Layer]:
    """An anchor brings its limbs through S."""
    limbs, lateral, together, number = state
    for first in range(0, work.limbs, work.each):
        ok = (limbs[:, first] == 0) & (count[:, S] + work.each <= CAPACITY[S])
        new = limbs[ok]
        new[:, first : first + work.each] = 1 + S
        yield new, lateral[ok], together[ok], number[ok]


def retrieved(state: Layer, where: np.ndarray, count: np.ndarray, work: Work) -> Iterator[Layer]:
    """One or two limbs from one portal to another, not to where the arthroscope stands."""
    limbs, lateral, together, number = state
    groups = [(i,) for i in range(work.limbs)] + list(combinations(range(work.limbs), 2))
    for group in groups:
        same = where[:, group[0]] >= 0
        for i in group[1:]:
            same &= where[:, i] == where[:, group[0]]
        for to in range(4):
            ok = same & (where[:, group[0]] != to) & (count[:, to] + len(group) <= CAPACITY[to])
            ok &= ~lateral if to == L else (lateral if to == P else True)
            new, tog = limbs[ok], together[ok]
            for i in group:
                new[:, i] = new[:, i] - where[ok, i] + to
                tog[:, i // 2] = False
            if len(group) == 2 and group[0] % 2 == 0 and group[1] == group[0] + 1:
                both = (new[:, group[0]] == 5 + to) & (new[:, group[1]] == 5 + to)
                tog[:, group[0] // 2] = both
            yield new, lateral[ok], tog, number[ok]


def passed(state: Layer, where: np.ndarray, count: np.ndarray, work: Work) -> Iterator[Layer]:
    """The next limb from the front through the tendon: from L handed anywhere, or pierced from P with the view in L."""
    limbs, lateral, together, number = state
    all_in = (limbs > 0).all(axis=1) if work.anchors_first else np.ones(len(limbs), dtype=bool)
    for i in range(work.limbs):
        turn = all_in & (limbs[:, i] >= 1) & (limbs[:, i] <= 4) & (limbs[:, :i] >= 5).all(axis=1)
        for to in range(4):
            if i < work.limbs - work.far:
                ok = turn & (where[:, i] == L) & ~lateral
                ok &= (count[:, L] == 1) if work.pass_alone else True
                ok &= (to == L) | ((count[:, to] < CAPACITY[to]) & (to != P))
            elif to == P:
                ok = turn & lateral & (count[:, P] - (where[:, i] == P) < CAPACITY[P])
            else:
                continue
            new, tog = limbs[ok], together[ok]
            new[:, i], tog[:, i // 2] = 5 + to, False
            yield new, lateral[ok], tog, number[ok]


def tied(state: Layer, count: np.ndarray, work: Work) -> Iterator[Layer]:
    """Knots from the back, once all limbs are passed: the pair alone in a tying cannula, come there in one grasp."""
    limbs, lateral, together, number = state
    for q in range(work.pairs):
        pair = limbs[:, 2 * q : 2 * q + 2]
        turn = together[:, q] & (limbs >= 5).all(axis=1) & (limbs[:, 2 * q + 2 :] >= 9).all(axis=1)
        for here in (L, A) if work.second else (L,):
            ok = turn & (pair == 5 + here).all(axis=1) & (count[:, here] == 2)
            ok &= ~lateral if here == L else True
            new, tog = limbs[ok], together[ok]
            new[:, 2 * q : 2 * q + 2], tog[:, q] = 9 + here, False
            yield new, lateral[ok], tog, number[ok]


def seated(state: Layer, where: np.ndarray, work: Work) -> Iterator[Layer]:
    """A lateral anchor takes one limb of every knot out of L."""
    limbs, lateral, together, number = state
    free = (limbs >= 9).all(axis=1) & ~lateral
    if work.seat_alone:
        free &= ((where == L).reshape(-1, work.pairs, 2).sum(axis=2) == 1).all(axis=1)
    for sides, seat in product(product((0, 1), repeat=work.pairs), (13, 14)):
        taken = [2 * q + side for q, side in enumerate(sides)]
        ok = free & (where[:, taken] == L).all(axis=1) & ~(limbs == seat).any(axis=1)
        new = limbs[ok]
        new[:, taken] = seat
        yield new, lateral[ok], together[ok], number[ok]


def taken_back(state: Layer, where: np.ndarray, count: np.ndarray, work: Work) -> Iterator[Layer]:
    """A passed limb out of its hole again, to any portal with room but the arthroscope's."""
    limbs, lateral, together, number = state
    for i in range(work.limbs):
        turn = (limbs[:, i] >= 5) & (limbs[:, i] <= 8)
        for to in range(4):
            ok = turn & ((where[:, i] == to) | (count[:, to] < CAPACITY[to]))
            ok &= ~lateral if to == L else (lateral if to == P else True)
            new, tog = limbs[ok], together[ok]
            new[:, i], tog[:, i // 2] = 1 + to, False
            yield new, lateral[ok], tog, number[ok]
