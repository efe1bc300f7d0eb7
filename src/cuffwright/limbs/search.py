"""The search for the shortest order of work: best first, with the counting bound, and a proof where it ends."""

from collections.abc import Callable
from dataclasses import dataclass
from heapq import heappop, heappush

from cuffwright.case.limb_plan import Proof
from cuffwright.limbs.bound import Bound, Left
from cuffwright.limbs.coding import KNOTTED, STRIDE, Board, Coded, State, lives
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.following import after, done
from cuffwright.limbs.options import Asked, near

FACTOR = 1000
"""Numerical choice: a move weighs this many points of preference, more than a whole plan's preferences add up to."""

BUDGET = 12000
"""Numerical choice: states to look at; a quarter of them in the first search, half of them in each later one."""

GREED = ((False, 2), (True, 2), (False, 1), (False, 4), (True, 4))
"""Numerical choice: searches for any plan at all: whether limbs wait in two portals only, and the bound's weight."""

STANDING = frozenset({"retrieve", "scope", "cannula"})
"""Kinds of moves after which the same work is left."""


@dataclass(frozen=True)
class Found:
    """A move list with how far it is proven: moves, the bound at the start, proof, states expanded."""

    moves: tuple[Coded, ...]
    bound: int
    proof: Proof
    preferred: bool
    expanded: int


class Search:
    """The search on one field; call it with a state."""

    def __init__(self, board: Board, budget: int = BUDGET) -> None:
        self.board, self.budget = board, budget
        self.bound, self.diagram = Bound(board), Diagram(board)
        self.asked, self.narrow = Asked(board, self.bound), Asked(board, self.bound, narrow=True)
        soft = {r.name: r.penalty for r in board.field.rules if r.weight == "soft"}
        self.park, self.crossing = soft.get("park", 0), soft.get("crossing", 0)
        self.orders = {name: soft[name] for name in ("pass-order", "tie-order") if name in soft}
        self.seen: dict[State, int] = {}
        self.expanded, self.stopped = 0, False

    def __call__(self, s: State) -> Found | None:
        """The best move list found from ``s``; None when there is none within the budget."""
        least = self._least(s)
        self.expanded = 0
        some = self.budget // 2
        first = self._best(s, self.asked, 1, self.budget // 4)
        if first is not None:
            moves = len(first)
            if moves == least:
                return Found(first, least, "bound", True, self.expanded)
            return self._proven(s, first, least)
        best = None
        for narrow, greed in GREED:
            best = self._best(s, self.narrow if narrow else self.asked, greed, some, deep=True)
            if best is not None:
                break
        if best is None:
            best = self._best(s, self._near, GREED[-1][1], some, deep=True)
        if best is None:
            return None
        if len(best) == least:
            return Found(best, least, "bound", False, self.expanded)
        return self._proven(s, best, least)

    def _proven(self, s: State, best: tuple[Coded, ...], least: int) -> Found:
        """Look for anything shorter among nearly all moves; what is left is the proof, or the gap."""
        better = self._best(s, self._near, 1, self.budget // 2, below=len(best), plain=True)
        finished = not self.stopped
        if better is not None:
            best, finished = better, True
        proof: Proof = "bound" if len(best) == least else ("search" if finished else "gap")
        return Found(best, least, proof, False, self.expanded)

    def _near(self, s: State) -> list[Coded]:
        return near(self.board, self.bound, s)

    def _least(self, s: State, left: Left | None = None) -> int:
        if s not in self.seen:
            self.seen[s] = self.bound(s, left)
        return self.seen[s]

    def _best(
        self,
        start: State,
        moves: Callable[[State], list[Coded]],
        greed: int,
        budget: int,
        *,
        below: int | None = None,
        deep: bool = False,
        plain: bool = False,
    ) -> tuple[Coded, ...] | None:
        """Best first over cost and preference; ``below`` cuts what cannot be shorter, ``plain`` ignores preference."""
        spent: dict[State, int] = {start: 0}
        came: dict[State, tuple[State, Coded]] = {}
        count = 0
        heap = [(FACTOR * greed * self._least(start), 0, count, 0, start)]
        left, self.stopped = budget, False
        while heap:
            _, _, _, cost, s = heappop(heap)
            if cost > spent[s]:
                continue
            if done(s):
                return self._walked(came, s, start)
            if left <= 0:
                self.stopped = True
                return None
            self.expanded += 1
            same = self.bound.left(s)
            for m in moves(s):
                t = after(self.board, s, m)
                new = cost + FACTOR + (0 if plain else self._penalty(s, m, t))
                if new >= spent.get(t, new + 1):
                    continue
                left -= 1
                least = self._least(t, same if m.kind in STANDING else None)
                if below is not None and new // FACTOR + least >= below:
                    continue
                spent[t] = new
                came[t] = (s, m)
                count += 1
                depth = -count if deep else least
                heappush(heap, (new + FACTOR * greed * least, depth, count, new, t))
        return None

    def _walked(self, came: dict[State, tuple[State, Coded]], s: State, start: State) -> tuple[Coded, ...]:
        found: list[Coded] = []
        while s != start:
            s, m = came[s]
            found.append(m)
        return tuple(reversed(found))

    def _penalty(self, s: State, m: Coded, t: State) -> int:
        """Points of preference against a move: a limb parked elsewhere, a line crossed while a limb is untied."""
        points = 0
        passed, tied = self.board.parks
        if m.kind == "pass" and m.to != passed:
            points += self.park
        if (
            m.kind == "retrieve"
            and m.source in self.bound.workers
            and m.to not in self.bound.workers | self.bound.seaters
        ):
            knotted = s.at[m.limbs[0]] // STRIDE == KNOTTED
            points += self.park * (m.to != (tied if knotted else passed))
        if self.crossing:
            points += self.crossing * self.crossings(m, t)
        for rule, weight in self.orders.items():
            points += weight * self._disorder(s, m, rule)
        return points

    def _disorder(self, s: State, m: Coded, rule: str) -> int:
        rank = self.board.pass_rank if rule == "pass-order" else self.board.tie_rank
        if (m.kind in ("pass", "penetrate")) == (rule == "pass-order") and m.kind in ("pass", "penetrate", "tie"):
            mine = m.limbs[0] if rule == "pass-order" else m.what
            waiting = (
                [i for i, u in enumerate(self.board.hole) if u is not None and s.at[i] // STRIDE < 2]
                if rule == "pass-order"
                else [q for q, tied in enumerate(self.board.tied) if tied and s.at[2 * q] // STRIDE <= 2]
            )
            return int(any(rank[x] < rank[mine] for x in waiting))
        return 0

    def crossings(self, m: Coded, t: State) -> int:
        """Lines newly crossed by the limbs moved, where at least one of the two is not yet tied."""
        if m.kind == "insert":
            moved = [i for q in self.board.carried[m.what] for i in (2 * q, 2 * q + 1) if lives(t.at[i])]
        elif m.kind in ("retrieve", "pass", "penetrate", "unpass"):
            moved = list(m.limbs)
        else:
            return 0
        count = 0
        for i in moved:
            for j in self.diagram.crossed(t.at, i):
                untied = min(t.at[i] // STRIDE, t.at[j] // STRIDE) < KNOTTED
                count += untied and not (j in moved and j < i)
        return count
