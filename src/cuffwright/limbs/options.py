"""Which moves may come next: all that are legal, those near the work, and those the next piece of work asks for."""

from collections.abc import Iterator
from itertools import combinations

from cuffwright.limbs.bound import Bound
from cuffwright.limbs.coding import KNOTTED, OUTSIDE, PASSED, STRIDE, UNPASSED, Board, Coded, State, lives, place_of
from cuffwright.limbs.rules import allowed, contents, owed, passing_left, tying_left


def legal(board: Board, s: State) -> list[Coded]:
    """Every move that breaks no binding rule."""
    return [m for m in _all(board, s) if allowed(board, s, m)]


def near(board: Board, bound: Bound, s: State) -> list[Coded]:
    """All legal moves but idle shuffles between two parks: nearly complete, for the search that proves."""
    busy = bound.workers | bound.seaters | set(board.views)
    found = []
    for m in _all(board, s):
        if m.kind in ("test", "unpass", "cannula"):
            continue
        gathers = len(m.limbs) and any(s.at[i] // STRIDE == PASSED for i in m.limbs)
        idle = m.kind == "retrieve" and not {m.source, m.to} & busy and not gathers
        if not idle and allowed(board, s, m):
            found.append(m)
    return found


def _all(board: Board, s: State) -> Iterator[Coded]:
    portals = range(len(board.portals))
    for c, carried in enumerate(board.carried):
        if any(s.at[2 * q] // STRIDE == OUTSIDE for q in carried):
            yield from (Coded("insert", to=p, what=c) for p in board.inserts[c])
    for source in portals:
        here = contents(s, source)
        for size in range(1, board.field.grasp + 1):
            for limbs in combinations(here, size):
                yield from (Coded("retrieve", limbs, source, to) for to in portals if to != source)
    for i, code in enumerate(s.at):
        if code // STRIDE == UNPASSED and board.hole[i] is not None:
            yield from (Coded("pass", (i,), place_of(code), to) for to in portals)
            yield from (Coded("penetrate", (i,), place_of(code), to) for to in board.pierces[i])
        if code // STRIDE == PASSED and board.hole[i] is not None:
            yield from (Coded("unpass", (i,), place_of(code), to) for to in portals)
    yield from _finishing(board, s)
    yield from (Coded("scope", to=to) for to in board.views)


def _finishing(board: Board, s: State) -> Iterator[Coded]:
    for q, tied in enumerate(board.tied):
        pair = (2 * q, 2 * q + 1)
        if tied and s.at[2 * q] // STRIDE == PASSED:
            yield Coded("tie", pair, to=place_of(s.at[2 * q]), what=q)
        if board.tied_off[q] and s.at[2 * q] // STRIDE == KNOTTED:
            yield Coded("cut", pair, what=q)
    for j, ways in enumerate(board.seats):
        for way in ways:
            yield Coded("seat", tuple(contents(s, way)), to=way, what=j)


class Asked:
    """The moves that the next piece of work asks for: few, so that a clean case is searched almost without choice.

    ``narrow`` lets limbs wait in the two preferred portals only, while either has room: fewer still.
    """

    def __init__(self, board: Board, bound: Bound, *, narrow: bool = False) -> None:
        self.board, self.bound, self.narrow = board, bound, narrow

    def _places(self, s: State, more: int, way: int) -> list[int]:
        """Where limbs taken out of a portal, or handed on from it, may wait."""
        board = self.board
        every = [k for k in range(len(board.portals)) if k not in (way, s.scope)]
        kept = [k for k in board.parks if k in every and len(contents(s, k)) + more <= board.capacity[k]]
        return kept if self.narrow and kept else every

    def __call__(self, s: State) -> list[Coded]:
        """The moves asked for, each legal and named once."""
        board = self.board
        if s.joint:
            return [Coded("scope", to=s.scope)]
        for q, off in enumerate(board.tied_off):
            if off and any(code // STRIDE == KNOTTED for code in s.at[2 * q : 2 * q + 2]):
                return [Coded("cut", (2 * q, 2 * q + 1), what=q)]
        wanted = list(dict.fromkeys(self._work(s)))
        return [m for m in wanted if allowed(board, s, m)]

    def _work(self, s: State) -> Iterator[Coded]:
        missing = [c for c in self.board.first if self._out(s, c)]
        if missing and "anchors-first" in self.board.hard:
            yield from self._insert(s, missing[0])
        elif passing_left(self.board, s):
            for limb in self._next_limbs(s):
                yield from self._pass(s, limb)
        elif tying_left(self.board, s):
            for q in self._next_ties(s):
                yield from self._tie(s, q)
        else:
            for j in range(len(self.board.seats)):
                if owed(self.board, s, j):
                    yield from self._seat(s, j)

    def _out(self, s: State, carrier: int) -> bool:
        return any(s.at[2 * q] // STRIDE == OUTSIDE for q in self.board.carried[carrier])

    def _next_limbs(self, s: State) -> list[int]:
        board = self.board
        waiting = [i for i, u in enumerate(board.hole) if u is not None and s.at[i] // STRIDE <= UNPASSED]
        waiting.sort(key=lambda i: board.pass_rank[i])
        if "pass-order" in board.hard:
            return waiting[:1]
        # as a preference it still decides among limbs that are reached alike, or no end is found among all orders
        first = {(board.passes[i], board.pierces[i]): i for i in reversed(waiting)}
        brought = [i for i in waiting if s.at[i] // STRIDE == UNPASSED and place_of(s.at[i]) in self.bound.workers]
        return sorted({*first.values(), *brought}, key=lambda i: board.pass_rank[i])

    def _next_ties(self, s: State) -> list[int]:
        board = self.board
        waiting = [q for q, tied in enumerate(board.tied) if tied and s.at[2 * q] // STRIDE <= PASSED]
        waiting.sort(key=lambda q: board.tie_rank[q])
        return waiting[:1] if "tie-order" in board.hard else waiting

    def _insert(self, s: State, carrier: int) -> Iterator[Coded]:
        need = 2 * len(self.board.carried[carrier])
        for to in self.board.inserts[carrier]:
            if to == s.scope:
                yield from self._turn_away(s)
            here = contents(s, to)
            if len(here) + need > self.board.capacity[to]:
                yield from self._clear(s, to, here)
            else:
                yield Coded("insert", to=to, what=carrier)

    def _pass(self, s: State, limb: int) -> Iterator[Coded]:
        board, carrier = self.board, self.board.carrier[limb // 2]
        if s.at[limb] // STRIDE == OUTSIDE:
            yield from self._insert(s, carrier)
            return
        place = place_of(s.at[limb])
        for way in board.passes[limb]:
            if not s.cannulas >> way & 1:
                yield from self._cannula(s)
            elif way == s.scope:
                yield from self._turn_away(s)
            elif place == way:
                others = [i for i in contents(s, way) if i != limb]
                if others:
                    yield from self._clear(s, way, others)
                else:
                    places = sorted({way, *self._places(s, 1, way)})
                    yield from (Coded("pass", (limb,), way, to) for to in places)
            else:
                yield from self._fetch(s, way, (limb,), place)
        for way in board.pierces[limb]:
            yield from self._pierce(s, limb, way)

    def _pierce(self, s: State, limb: int, way: int) -> Iterator[Coded]:
        view, board = self.board.pierce_view, self.board
        if way == s.scope and view < 0:
            yield from self._turn_away(s)
        elif view >= 0 and s.scope != view:
            yield from self._turn_to(s, view)
        elif place_of(s.at[limb]) != way and len(contents(s, way)) >= board.capacity[way]:
            yield from self._clear(s, way, contents(s, way))
        else:
            yield Coded("penetrate", (limb,), place_of(s.at[limb]), way)

    def _tie(self, s: State, q: int) -> Iterator[Coded]:
        pair = (2 * q, 2 * q + 1)
        first, second = place_of(s.at[pair[0]]), place_of(s.at[pair[1]])
        if first != second:
            yield from self._gather(s, pair, first, second)
            return
        for way in self.bound.workers:
            if not s.cannulas >> way & 1:
                yield from self._cannula(s)
            elif way == s.scope:
                yield from self._turn_away(s)
            elif first != way:
                yield from self._fetch(s, way, pair, first)
            elif not s.together >> q & 1:
                yield from self._out_of(s, way, pair)
            else:
                others = [i for i in contents(s, way) if i not in pair]
                if others:
                    yield from self._clear(s, way, others)
                else:
                    yield Coded("tie", pair, to=way, what=q)

    def _gather(self, s: State, pair: tuple[int, int], first: int, second: int) -> Iterator[Coded]:
        """Bring a split pair into one portal, perhaps with another limb on the same way."""
        moves = [((pair[0],), first, second), ((pair[1],), second, first)]
        for limbs, source, to in moves:
            yield Coded("retrieve", limbs, source, to)
            for other in contents(s, source):
                if other != limbs[0] and self.board.field.grasp > 1:
                    yield Coded("retrieve", tuple(sorted((*limbs, other))), source, to)
        for to in range(len(self.board.portals)):
            yield from (
                Coded("retrieve", limbs, source, to) for limbs, source, _ in moves if source in self.bound.workers
            )

    def _fetch(self, s: State, way: int, limbs: tuple[int, ...], source: int) -> Iterator[Coded]:
        """Clear a portal and bring limbs into it."""
        here = contents(s, way)
        if here:
            yield from self._clear(s, way, here)
        else:
            yield Coded("retrieve", limbs, source, way)

    def _clear(self, s: State, way: int, others: list[int]) -> Iterator[Coded]:
        """Take limbs out of a portal, in the fewest grasps: pairs first."""
        size = min(len(others), self.board.field.grasp)
        for limbs in combinations(others, size):
            yield from self._out_of(s, way, limbs)
        if size > 1:
            for i in others:
                yield from self._out_of(s, way, (i,))

    def _out_of(self, s: State, way: int, limbs: tuple[int, ...]) -> Iterator[Coded]:
        yield from (Coded("retrieve", limbs, way, to) for to in self._places(s, len(limbs), way))

    def _turn_away(self, s: State) -> Iterator[Coded]:
        for view in self.board.views:
            if view != s.scope:
                yield from self._turn_to(s, view)

    def _turn_to(self, s: State, view: int) -> Iterator[Coded]:
        here = contents(s, view)
        if here:
            yield from self._clear(s, view, here)
        else:
            yield Coded("scope", to=view)

    def _cannula(self, s: State) -> Iterator[Coded]:
        workers = self.bound.workers
        if not any(s.cannulas >> k & 1 for k in workers):
            yield from (Coded("cannula", to=k) for k in workers)

    def _seat(self, s: State, seat: int) -> Iterator[Coded]:
        due = owed(self.board, s, seat)
        for way in self.board.seats[seat]:
            if way == s.scope:
                yield from self._turn_away(s)
                continue
            here = contents(s, way)
            useful, rest = self._matched(here, due)
            if rest:
                yield from self._clear(s, way, rest)
            if len(useful) == len(due) and not rest:
                yield Coded("seat", tuple(here), to=way, what=seat)
            else:
                yield from self._bring(s, way, seat, due, useful)

    def _matched(self, limbs: list[int], due: list[tuple[int, int]]) -> tuple[list[int], list[int]]:
        """Which of ``limbs`` the seat is owed, and which not."""
        wanted, useful, rest = list(due), [], []
        for i in limbs:
            key = (-1, i // 2) if self.board.tied[i // 2] else (i, -1)
            if key in wanted:
                wanted.remove(key)
                useful.append(i)
            else:
                rest.append(i)
        return useful, rest

    def _bring(self, s: State, way: int, seat: int, due: list[tuple[int, int]], useful: list[int]) -> Iterator[Coded]:
        """Bring limbs the seat is owed, two by two from where they are parked."""
        wanted = list(due)
        for i in useful:
            wanted.remove((-1, i // 2) if self.board.tied[i // 2] else (i, -1))
        for source in range(len(self.board.portals)):
            if source == way:
                continue
            here = [i for i in contents(s, source) if lives(s.at[i])]
            here.sort(key=lambda i: (i // 2, self._other_end(s, seat, i)))
            match, _ = self._matched(here, wanted)
            for size in range(1, min(len(match), self.board.field.grasp) + 1):
                for limbs in combinations(match[1:], size - 1):
                    yield Coded("retrieve", tuple(sorted((match[0], *limbs))), source, way)

    def _other_end(self, s: State, seat: int, limb: int) -> bool:
        """Whether the other limb of a knotted pair goes to this seat: front limbs go to the front seat."""
        pending = [t for t in self.board.targets[limb // 2] if t >= 0 and not s.seated >> t & 1]
        if len(pending) < 2:
            return False
        places = [self.board.field.seats[t].at for t in pending]
        front = self.board.field.seats[seat].at == min(places)
        return front == bool(limb % 2)
