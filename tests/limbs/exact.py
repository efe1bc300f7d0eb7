"""Exact moves left from every state that legal work reaches, beside the planner's bound."""

from collections import Counter

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import breadth_first_order

from cuffwright.limbs.bound import Bound
from cuffwright.limbs.coding import Board, State
from cuffwright.limbs.following import after, done
from cuffwright.limbs.options import legal


def bound_gaps(board: Board, first: State) -> tuple[int, Counter[int]]:
    """Moves left at ``first``, and how many reachable states have each exact distance less the bound.

    Distances are looked up backwards from all ends at once by a graph library. States from which no end is reached are
    left out.
    """
    number, states, steps = {first: 0}, [first], []
    for s in states:
        here = number[s]
        for m in legal(board, s):
            t = after(board, s, m)
            there = number.setdefault(t, len(states))
            if there == len(states):
                states.append(t)
            steps.append((there, here))
    count = len(states)
    steps += [(count, number[s]) for s in states if done(s)]
    back, to = np.array(steps).T
    graph = csr_matrix((np.ones(len(steps), dtype=np.int8), (back, to)), shape=(count + 1, count + 1))
    order, before = breadth_first_order(graph, count)
    left = np.full(count + 1, -1)
    for node in order[1:]:
        left[node] = left[before[node]] + 1
    bound = Bound(board)
    gaps = Counter(int(left[n] - bound(s)) for n, s in enumerate(states) if left[n] >= 0)
    return int(left[0]), gaps
