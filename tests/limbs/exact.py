"""Exact moves left from every state that legal work reaches, beside the planner's bound; no code of the search."""

from collections import Counter

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import breadth_first_order

from cuffwright.limbs.bound import Bound
from cuffwright.limbs.coding import FIXED, KNOTTED, OUTSIDE, PASSED, STRIDE, UNPASSED, Board, State
from tests.limbs.every import L, P, Work, distinct, moved, opened, packed
from tests.limbs.schematic import schematic

CODES = np.array(
    [OUTSIDE * STRIDE]
    + [stage * STRIDE + place for stage in (UNPASSED, PASSED, KNOTTED) for place in range(4)]
    + [FIXED * STRIDE, FIXED * STRIDE + 1]
)
"""The planner's code of each number a limb has here."""

CHUNK = 50_000


def standing(work: Work, limbs: list[int]) -> np.ndarray:
    """The state with these limbs, view from P, no pair in one grasp; as a whole number."""
    none = np.zeros(1, dtype=bool)
    return packed((np.array([limbs]), none, np.zeros((1, work.pairs), dtype=bool), np.zeros(1)), work)


def reached(work: Work, first: np.ndarray) -> np.ndarray:
    """Every state that legal work reaches from one, as whole numbers in order."""
    layer = first
    seen = layer
    while len(layer):
        found = [distinct([packed(new, work) for new in moved(opened(part, work), work)]) for part in chunks(layer)]
        layer = np.setdiff1d(distinct(found), seen, assume_unique=True)
        seen = distinct([seen, layer])
    return seen


def chunks(codes: np.ndarray) -> list[np.ndarray]:
    """The states in pieces that fit into memory."""
    return [codes[k : k + CHUNK] for k in range(0, len(codes), CHUNK)]


def moves_left(states: np.ndarray, work: Work) -> np.ndarray:
    """The exact moves left from each of all reachable states, looked up backwards from all ends; -1: no end."""
    back, to = [], []
    for first, part in zip(range(0, len(states), CHUNK), chunks(states), strict=True):
        for new in moved(opened(part, work), work):
            back.append(np.searchsorted(states, packed(new, work)).astype(np.int32))
            to.append(new[3] + np.int32(first))
    ends = np.flatnonzero((opened(states, work)[0] >= 13).all(axis=1)).astype(np.int32)
    count = len(states)
    rows = np.concatenate([*back, np.full(len(ends), count, dtype=np.int32)])
    columns = np.concatenate([*to, ends])
    graph = csr_matrix((np.ones(len(rows), dtype=np.int8), (rows, columns)), shape=(count + 1, count + 1))
    order, before = breadth_first_order(graph, count)
    left = np.full(count + 1, -1)
    for node in order[1:]:
        left[node] = left[before[node]] + 1
    return left[:count]


def planner_states(states: np.ndarray, work: Work) -> list[State]:
    """The same states as the planner has them, in the schematic field."""
    limbs, lateral, together, _ = opened(states, work)
    pairs = (together * (1 << np.arange(work.pairs))).sum(axis=1)
    seated = (limbs == 13).any(axis=1) + 2 * (limbs == 14).any(axis=1)
    scopes = np.where(lateral, L, P)
    rows = zip(CODES[limbs].tolist(), scopes.tolist(), pairs.tolist(), seated.tolist(), strict=True)
    return [State(tuple(at), scope, tog, done, 1 << L, 0) for at, scope, tog, done in rows]


def bound_gaps(work: Work, every: int = 1, begin: list[int] | None = None) -> tuple[int, Counter[int]]:
    """Moves left from where work begins, and how many states have each exact distance less the bound.

    Work begins with nothing in, or with limbs as in ``begin``. The bound is asked in ``every`` so manyth state; states
    from which no end is reached are left out.
    """
    medial, load = 2 * work.pairs // work.each, work.each // 2
    bound = Bound(Board(schematic(medial, 2, load, far=work.far)))
    first = standing(work, begin or [0] * work.limbs)
    states = reached(work, first)
    left = moves_left(states, work)
    some = np.flatnonzero(left >= 0)[::every]
    asked = planner_states(states[some], work)
    gaps = Counter(n - bound(s) for n, s in zip(left[some].tolist(), asked, strict=True))
    return int(left[np.searchsorted(states, first[0])]), gaps
