"""Which limb lies over which, and what that does to a knot: crossings drawn anew with each move.

Moving a limb takes it out of every crossing and lays it over (or, where the move says so, under) what it now crosses.
A grasp in mid-strand leaves the rest as it was: those pairs are suspect. A knot captures a limb that runs over one
strand of its pair and under the other, and pins one that lies under the strand it crosses.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from cuffwright.case.limbs import LimbState
from cuffwright.limbs.coding import FIXED, KNOTTED, PASSED, STRIDE, UNPASSED, Board, Coded, State, lives
from cuffwright.limbs.diagram import Diagram, Point

Lie = Literal["clear", "over both", "under both", "over one", "pinned", "captured", "suspect"]
"""How a limb lies to a pair that is being tied; "over one" is free, since the limb starts between the two holes."""

Pair = tuple[int, int]


@dataclass
class Layers:
    """Pairs of crossing limbs, the upper first, and pairs nobody can vouch for."""

    diagram: Diagram
    over: set[Pair] = field(default_factory=set)
    suspect: set[Pair] = field(default_factory=set)

    @classmethod
    def of(cls, board: Board, state: LimbState, diagram: Diagram | None = None) -> "Layers":
        """The layers of a plain state."""
        number = {name: i for i, name in enumerate(board.limbs)}
        pairs = ({(number[a], number[b]) for a, b in some} for some in (state.over, state.suspect))
        over, suspect = pairs
        return cls(diagram or Diagram(board), over, suspect)

    def named(self, board: Board, pairs: Iterable[Pair]) -> tuple[tuple[str, str], ...]:
        """Pairs by the names of their limbs, in order."""
        return tuple(sorted((board.limbs[a], board.limbs[b]) for a, b in pairs))

    def follow(self, board: Board, m: Coded, t: State, under: Iterable[int] = (), mid: bool = False) -> None:
        """Redraw what a move has changed; ``t`` stands after it."""
        if m.kind in ("retrieve", "pass", "penetrate", "unpass"):
            self._moved(t, list(m.limbs), set(under), mid)
        elif m.kind == "insert":
            fresh = [i for q in board.carried[m.what] for i in (2 * q, 2 * q + 1) if lives(t.at[i])]
            self._moved(t, fresh, set(under), mid)
        elif m.kind == "tie":
            self._tied(t, (2 * m.what, 2 * m.what + 1))
        for i in [i for i, code in enumerate(t.at) if not lives(code)]:
            self._erase(i)

    def _erase(self, limb: int) -> None:
        self.over = {pair for pair in self.over if limb not in pair}
        self.suspect = {pair for pair in self.suspect if limb not in pair}

    def _moved(self, t: State, moved: list[int], under: set[int], mid: bool) -> None:
        for i in moved:
            old = {pair for pair in self.over if i in pair}
            self._erase(i)
            if mid:
                self.suspect |= {(min(pair), max(pair)) for pair in old}
            for j in self.diagram.crossed(t.at, i):
                if j in moved and j > i:
                    continue
                self.over.add((j, i) if j in under else (i, j))
                if mid:
                    self.suspect.add((min(i, j), max(i, j)))

    def _tied(self, t: State, pair: Pair) -> None:
        old = set(self.over)
        for i, mate in (pair, pair[::-1]):
            self.over = {p for p in self.over if i not in p}
            for j in self.diagram.crossed(t.at, i):
                below = (j, i) in old or ((i, j) not in old and (j, mate) in old)
                self.over.add((j, i) if below else (i, j))

    def lie(self, t: State, pair: Pair, limb: int) -> Lie:
        """How ``limb`` lies to the two limbs of a pair about to be tied."""
        if any((min(limb, i), max(limb, i)) in self.suspect for i in pair):
            return "suspect"
        crossed = [i for i in pair if self.diagram.cross(limb, t.at[limb], i, t.at[i])]
        above = [(limb, i) in self.over for i in crossed]
        if not crossed:
            return "clear"
        if len(crossed) == 2:
            if above[0] != above[1]:
                return "captured"
            return "over both" if above[0] else "under both"
        if t.at[limb] // STRIDE == UNPASSED and self._within(t, pair, limb):
            return "captured" if above[0] else "over one"
        return "over one" if above[0] else "pinned"

    def _within(self, t: State, pair: Pair, limb: int) -> bool:
        """Whether the limb starts inside the loop of the pair and its portal."""
        here = self.diagram.source(limb, t.at[limb] // STRIDE)
        corners = [self.diagram.source(i, PASSED) for i in pair]
        corners.append(self.diagram.exits[t.at[pair[0]] % STRIDE])
        return inside(here, corners)

    def ties(self, t: State, pair: Pair) -> dict[int, Lie]:
        """How every other living limb lies to a pair, those that are clear left out."""
        others = (i for i, code in enumerate(t.at) if lives(code) and i not in pair)
        found = {i: self.lie(t, pair, i) for i in others}
        return {i: lie for i, lie in found.items() if lie != "clear"}

    def slides(self, board: Board, t: State, limb: int) -> bool:
        """Whether the limb must still slide: its knot is not tied, or it is knotless and not fixed."""
        return t.at[limb] // STRIDE < (KNOTTED if board.tied[limb // 2] else FIXED)

    def locked(self) -> tuple[int, ...]:
        """Limbs of a ring in which each lies over the next; empty when the layers can be lifted one by one."""
        below: dict[int, set[int]] = {}
        for a, b in self.over:
            below.setdefault(a, set()).add(b)
            below.setdefault(b, set())
        while True:
            free = [i for i, under in below.items() if not under]
            if not free:
                return tuple(sorted(below))
            for i in free:
                del below[i]
            for under in below.values():
                under.difference_update(free)
            if not below:
                return ()


def inside(point: Point, corners: list[Point]) -> bool:
    """Whether a point lies within a triangle."""
    turns = []
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        turns.append((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax))
    return all(t > 0 for t in turns) or all(t < 0 for t in turns)
