"""Small tangles that can be checked by hand, as words of braids with their matrices and exponent sums."""

from itertools import permutations, product

import numpy as np
import pytest

from cuffwright.case.limbs import Carrier, LimbField, LimbPortal, Seat, Suture
from cuffwright.limbs.coding import KNOTTED, PASSED, STRIDE, Board, State
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.tangle import Layers
from tests.limbs.schematic import RULES

FIRST, SECOND = np.array([[1, 1], [0, 1]]), np.array([[1, 0], [-1, 1]])
LETTERS = {
    1: FIRST,
    -1: np.array([[1, -1], [0, 1]]),
    2: SECOND,
    -2: np.array([[1, 0], [1, 1]]),
}
"""The two generators of three strands and their inverses, as 2 x 2 matrices of determinant 1."""


def product_of(word):
    """The matrix of a word and its exponent sum."""
    matrix = np.eye(2, dtype=int)
    for letter in word:
        matrix = matrix @ LETTERS[letter]
    return matrix.tolist(), sum(1 if letter > 0 else -1 for letter in word)


def three(sources, portals):
    """A field of three strands from sources on a line to portals in convex position, and their state when passed."""
    places = (LimbPortal("A", "A", -45, 20, 9), LimbPortal("L", "L", 0, 50, 9, True), LimbPortal("P", "P", 50, 5, 9))
    sutures = tuple(Suture(str(k), "1", float(u), None, "bridged", ("L1",)) for k, u in enumerate(sources))
    seat = Seat("L1", 0.0, 9)
    field = LimbField(places, (Carrier("1", 0.0),), sutures, (seat,), RULES, "P", "A", "P", eyelet_line=12.0)
    at = []
    for p in portals:
        at += [PASSED * STRIDE + "ALP".index(p), (KNOTTED + 2) * STRIDE]
    return Board(field), State(tuple(at), 2, 0, 0, 2, 0)


def word_of(layers, at, sources, portals):
    """The word of a diagram: source order sorted into portal order, one letter for each crossing."""
    ranks = {0: "ALP".index(portals[0]), 1: "ALP".index(portals[1]), 2: "ALP".index(portals[2])}
    line = sorted(range(3), key=lambda k: sources[k])
    word = []
    while True:
        here = next((p for p in range(2) if ranks[line[p]] > ranks[line[p + 1]]), None)
        if here is None:
            return word
        left, right = line[here], line[here + 1]
        assert layers.diagram.cross(2 * left, at[2 * left], 2 * right, at[2 * right])
        word.append((here + 1) if (2 * left, 2 * right) in layers.over else -(here + 1))
        line[here], line[here + 1] = right, left


@pytest.mark.law
@pytest.mark.parametrize(
    ("word", "matrix", "total"),
    [
        ([1, 1], [[1, 2], [0, 1]], 2),
        ([1, -1], [[1, 0], [0, 1]], 0),
        ([1, 2], [[0, 1], [-1, 1]], 2),
        ([1, -2], [[2, 1], [1, 1]], 0),
        ([1, 2, -1, -1], [[0, 1], [-1, 3]], 0),
        ([1, -2, 1], [[2, 3], [1, 2]], 1),
        ([-1, 2, -1], [[2, -3], [-1, 2]], -1),
    ],
)
def test_words_have_the_matrices_computed_by_hand(word, matrix, total):
    """Each word of three strands has the matrix and the exponent sum that multiplication by hand gives."""
    assert product_of(word) == (matrix, total)


@pytest.mark.law
@pytest.mark.parametrize(
    ("above", "lie", "word"),
    [((1, 1), "over both", [1, 2]), ((1, 0), "captured", [1, -2]), ((0, 0), "under both", [-1, -2])],
)
def test_a_limb_over_one_strand_and_under_the_other_is_captured(above, lie, word):
    """A limb from in front of a pair to a portal behind it is captured just when its word is no layered one."""
    sources, portals = (-20, 0, 10), "PLL"
    board, state = three(sources, portals)
    layers = Layers(Diagram(board))
    for strand, top in zip((2, 4), above, strict=True):
        layers.over.add((0, strand) if top else (strand, 0))
    assert layers.lie(state, (2, 4), 0) == lie
    assert word_of(layers, state.at, sources, portals) == word
    twisted = [product_of([*side, *([1] * k), *([-1] * -k)]) for side in ([1, 2], [-1, -2]) for k in range(-4, 5)]
    free = product_of(word) in twisted
    assert free == (lie != "captured")


@pytest.mark.law
def test_a_limb_between_the_holes_is_pinned_only_from_above():
    """A limb that starts between the holes and is parked in front: pinned when the pair lies over it, else free."""
    board, state = three((-20, 0, 20), "LAL")
    layers = Layers(Diagram(board), {(0, 2)})
    assert layers.lie(state, (0, 4), 2) == "pinned"
    layers = Layers(Diagram(board), {(2, 0)})
    assert layers.lie(state, (0, 4), 2) == "over one"


@pytest.mark.law
def test_of_eight_ways_to_lay_three_limbs_two_are_locked():
    """Three limbs that all cross lie in 8 ways: 6 lift off one by one, 2 lock, and no locked word equals a free one."""
    sources, portals = (-20, 0, 20), "PLA"
    board, state = three(sources, portals)
    pairs = [(0, 2), (0, 4), (2, 4)]
    words = {}
    for signs in product((0, 1), repeat=3):
        layers = Layers(Diagram(board), {pair if s else pair[::-1] for pair, s in zip(pairs, signs, strict=True)})
        key = str(product_of(word_of(layers, state.at, sources, portals)))
        words.setdefault(bool(layers.locked()), []).append(key)
    assert [len(words[True]), len(words[False])] == [2, 6]
    assert len(set(words[True] + words[False])) == 8
    layered = set()
    for order in permutations((0, 2, 4)):
        height = {limb: k for k, limb in enumerate(order)}
        layered.add(frozenset(p if height[p[0]] > height[p[1]] else p[::-1] for p in pairs))
    assert len(layered) == 6


@pytest.mark.law
def test_moving_a_limb_away_and_back_leaves_nothing():
    """A limb laid across another crosses it once; laid back where it was it crosses none: nothing builds up."""
    board, state = three((-20, 0, 20), "ALP")
    layers = Layers(Diagram(board))
    there = state._replace(at=(PASSED * STRIDE + 2, *state.at[1:]))
    layers._moved(there, [0], set(), False)
    assert layers.over == {(0, 2), (0, 4)} - (
        {(0, 4)} if not layers.diagram.cross(0, there.at[0], 4, there.at[4]) else set()
    )
    layers._moved(state, [0], set(), False)
    assert layers.over == set()
