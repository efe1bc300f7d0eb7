"""The least number of moves still needed, by counting what the working portals must take in and give out.

Passes, ties and seatings prescribe exactly what may hang out of their portal. So each needs an arrival, each tie of a
bridged suture a departure after it, each lateral anchor as many arrivals as grasps. The proof stands in docs/limbs.md.
"""

from collections import Counter
from dataclasses import dataclass
from functools import cached_property

from cuffwright.limbs.coding import KNOTTED, OUTSIDE, PASSED, STRIDE, UNPASSED, Board, State, lives, place_of
from cuffwright.limbs.rules import contents, owed

EXCLUSIVE = frozenset({"pass-alone", "tie-alone", "together", "seat-complete", "grasp", "scope-clear"})
"""Rules without which the counting does not hold; where one is relaxed only the moves that must be are counted."""


def grasps(limbs: int, grasp: int) -> int:
    """Retrievals needed for so many limbs."""
    return -(-limbs // grasp)


@dataclass(frozen=True)
class Left:
    """What is left to do: limbs by how their hole is reached, sutures to tie, seats with what they are owed."""

    inserts: int
    passer: int
    either: int
    pierced: tuple[int, ...]
    ties: tuple[int, ...]
    cuts: int
    seats: tuple[tuple[int, tuple[tuple[int, int], ...]], ...]


@dataclass(frozen=True)
class Bound:
    """The counting bound of one field; call it with a state."""

    board: Board

    @cached_property
    def workers(self) -> frozenset[int]:
        """Portals in which a passer or a knot can be worked."""
        return frozenset(k for k, p in enumerate(self.board.field.portals) if p.cannula and p.open)

    @cached_property
    def seaters(self) -> frozenset[int]:
        """Portals by which some lateral anchor may be seated."""
        return frozenset(k for ways in self.board.seats for k in ways)

    @cached_property
    def server(self) -> int:
        """The one portal in which all passing and tying is done; -1 when there is none or more than one."""
        return next(iter(self.workers)) if len(self.workers) == 1 else -1

    @cached_property
    def seater(self) -> int:
        """The one portal by which all lateral anchors are seated; -1 when there is more than one."""
        return next(iter(self.seaters)) if len(self.seaters) == 1 else -1

    def left(self, s: State) -> Left:
        """What is left to do in a state."""
        board = self.board
        passer = either = 0
        pierced, ties, cuts = [], [], 0
        for i, code in enumerate(s.at):
            if board.hole[i] is not None and code // STRIDE <= UNPASSED:
                if not board.pierces[i]:
                    passer += 1
                elif board.passes[i]:
                    either += 1
                else:
                    pierced.append(i)
        for q, tied in enumerate(board.tied):
            pair = s.at[2 * q : 2 * q + 2]
            if tied and pair[0] // STRIDE <= PASSED:
                ties.append(q)
            if board.tied_off[q] and any(code // STRIDE <= KNOTTED for code in pair):
                cuts += 1
        inserts = sum(any(s.at[2 * q] // STRIDE == OUTSIDE for q in carried) for carried in board.carried)
        dues = ((j, tuple(owed(board, s, j))) for j in range(len(board.seats)))
        return Left(inserts, passer, either, tuple(pierced), tuple(ties), cuts, tuple((j, d) for j, d in dues if d))

    def __call__(self, s: State, left: Left | None = None) -> int:
        """The least number of moves from this state to the end; ``left`` where what is left to do is known already."""
        left = left or self.left(s)
        passes = left.passer + left.either + len(left.pierced)
        must = left.inserts + passes + len(left.ties) + left.cuts + len(left.seats)
        if not must:
            return 0
        served = 0
        if self.board.hard >= EXCLUSIVE:
            alone = self.server >= 0 and not self.seaters - {self.server}
            served = max(0, self._one(s, left) if alone else self._many(s, left))
        worked = bool(left.passer or left.ties)
        cannula = int(worked and not s.cannulas & sum(1 << k for k in self.workers))
        return must + served + max(self._view(s, left), s.joint) + cannula

    def _one(self, s: State, left: Left) -> int:
        """Retrievals when one portal serves passes, ties and seatings."""
        board, grasp = self.board, self.board.field.grasp
        off = sum(board.tied_off[q] for q in left.ties)
        arrivals = left.passer + len(left.ties)
        arrivals += sum(grasps(len(due), grasp) for _, due in left.seats)
        departures = len(left.ties) - off
        if not board.field.assistant and "hand-over" in board.hard:
            departures += left.passer if left.ties else max(0, left.passer - 1)
        return arrivals + departures - self._last(left) + self._present(s, left) + self._parity(s, left)

    def _saved(self, due: tuple[tuple[int, int], ...], stay: int) -> int:
        grasp = self.board.field.grasp
        return grasps(len(due), grasp) - grasps(max(0, len(due) - stay), grasp)

    def _last(self, left: Left) -> int:
        """What the last event before the first seating may save, its limbs staying where they are."""
        board = self.board
        if not left.seats:
            return 0
        if left.ties:
            last = [max(left.ties, key=lambda q: board.tie_rank[q])] if "tie-order" in board.hard else left.ties
            if "ties-first" not in board.hard or "passes-first" not in board.hard:
                return len(left.seats) + len(left.ties)
            return max((self._kept(q, left) for q in last), default=0)
        if left.passer or left.either:
            return max(self._saved(due, 1) for _, due in left.seats)
        return 0

    def _kept(self, q: int, left: Left) -> int:
        """What staying saves after suture ``q`` is tied; both limbs may stay when one seat is owed both."""
        if self.board.tied_off[q]:
            return 0
        best = 0
        for _, due in left.seats:
            count = sum(d == (-1, q) for d in due)
            if count == 2:
                best = max(best, 1 + self._saved(due, 2))
            if count:
                best = max(best, self._saved(due, 1))
        return best

    def _present(self, s: State, left: Left) -> int:
        """What the limbs now in the server cost or save."""
        board, grasp = self.board, self.board.field.grasp
        here = [i for i in contents(s, self.server) if not self._cuttable(s, i)]
        split = self._split(s, left)
        options = [grasps(len(here) + split, grasp)]
        for i in here:
            if s.at[i] // STRIDE == UNPASSED and board.hole[i] is not None:
                saved = 1 if not board.pierces[i] else 0
                options.append(grasps(len(here) - 1 + split, grasp) - saved)
            q = i // 2
            if i % 2 == 0 and s.together >> q & 1 and q in left.ties:
                options.append(grasps(len(here) - 2 + split, grasp) - 1)
        if not left.ties and not (left.passer + left.either + len(left.pierced)):
            for _, due in left.seats:
                x = self._useful(s, here, due)
                options.append(grasps(len(here) - x + split, grasp) - self._saved(due, x))
        return min(options)

    def _cuttable(self, s: State, i: int) -> bool:
        return self.board.tied_off[i // 2] and s.at[i] // STRIDE == KNOTTED

    def _useful(self, s: State, here: list[int], due: tuple[tuple[int, int], ...]) -> int:
        wanted, count = Counter(due), 0
        for i in here:
            key = (-1, i // 2) if self.board.tied[i // 2] else (i, -1)
            stage = s.at[i] // STRIDE
            if wanted[key] and stage == (KNOTTED if self.board.tied[i // 2] else PASSED):
                wanted[key] -= 1
                count += 1
        return count

    def _split(self, s: State, left: Left) -> int:
        """Passed pairs split over two portals, neither the server nor one to be vacated."""
        if self.board.field.grasp != 2:
            return 0
        shut = self._vacated(s, left) | {self.server}
        count = 0
        for q in left.ties:
            first, second = s.at[2 * q], s.at[2 * q + 1]
            if first // STRIDE == PASSED == second // STRIDE and first != second:
                count += place_of(first) not in shut and place_of(second) not in shut
        return count

    def _vacated(self, s: State, left: Left) -> set[int]:
        """Portals that must be emptied for the arthroscope, whose limbs move anyway."""
        if s.scope == self.server or left.pierced:
            return set(self.board.views)
        return set()

    def _parity(self, s: State, left: Left) -> int:
        """Knotted limbs parked in odd numbers cost a grasp more."""
        if self.board.field.grasp != 2:
            return 0
        shut, home = self._vacated(s, left) | {self.server}, {}
        for q in {q for _, due in left.seats for _, q in due if q >= 0}:
            places = {code for code in s.at[2 * q : 2 * q + 2] if lives(code)}
            if len(places) == 1:
                (code,) = places
                if code // STRIDE == KNOTTED and place_of(code) not in shut:
                    home[q] = code
        over = 0
        for _, due in left.seats if home else ():
            parked = Counter(home[q] for _, q in due if q in home)
            over += max(0, sum(grasps(v, 2) for v in parked.values()) - grasps(len(due), 2))
        return grasps(over, 2)

    def _many(self, s: State, left: Left) -> int:
        """Retrievals when several portals may serve: arrivals only, less what may stay in each."""
        board, grasp = self.board, self.board.field.grasp
        arrivals = left.passer + len(left.ties) + sum(grasps(len(due), grasp) for _, due in left.seats)
        shared = len(self.workers & self.seaters) if left.ties or left.passer or left.either else 0
        stay = max((self._saved(due, 2) for _, due in left.seats), default=0)
        entered = sum(
            any(s.at[2 * q] // STRIDE == OUTSIDE for q in carried) and bool(self.workers & set(board.inserts[c]))
            for c, carried in enumerate(board.carried)
        )
        departures = self._apart(left) if self.server >= 0 and not shared else 0
        held = sum(self._holds(s, w, left) for w in self.workers | self.seaters)
        return arrivals + departures - shared * stay - entered - held

    def _apart(self, left: Left) -> int:
        """Departures from the one tying portal when seatings are done by one other portal."""
        if self.seater < 0:
            return 0
        apart = sum(
            all(sum(d == (-1, q) for d in due) < 2 for _, due in left.seats) and not self.board.tied_off[q]
            for q in left.ties
        )
        return max(0, apart - 1)

    def _holds(self, s: State, portal: int, left: Left) -> int:
        """The most that the limbs now in a portal can save there."""
        here, best = contents(s, portal), 0
        if portal in self.workers:
            for i in here:
                unpassed = s.at[i] // STRIDE == UNPASSED and self.board.hole[i] is not None
                best = max(best, int(unpassed and not self.board.pierces[i]), s.together >> i // 2 & 1)
        if portal in self.seaters:
            best = max([best, *(self._saved(due, self._useful(s, here, due)) for _, due in left.seats)])
        return best

    def _view(self, s: State, left: Left) -> int:
        """Moves the arthroscope, and the limbs in its way, still have to make."""
        view = self.board.pierce_view
        more = bool(left.passer or left.ties or (left.seats and self.seaters == {self.server}))
        if left.pierced and view >= 0:
            away = int(s.scope != view)
            back = int(view == self.server and more)
            return away + back + (self._vacating(s, left) if back else 0)
        if s.scope == self.server and self.server >= 0 and more and not left.pierced and not left.either:
            return 1 + self._vacating(s, left)
        return 0

    def _vacating(self, s: State, left: Left) -> int:
        """Retrievals out of a portal before the arthroscope comes back to it from the server, the least of all such.

        While it stands in the server no limb can be brought there, so none of these is an arrival counted elsewhere.
        """
        if left.seats and self.seaters - {self.server}:
            return 0
        counts = []
        for view in self.board.views:
            if view == self.server:
                continue
            here = contents(s, view) if s.scope == self.server else []
            staying = [i for i in here if not self._cuttable(s, i) and i not in left.pierced]
            coming = [i for i in left.pierced if self.board.pierces[i] == (view,)]
            counts.append(grasps(len(staying) + len(coming), self.board.field.grasp))
        return min(counts, default=0)
