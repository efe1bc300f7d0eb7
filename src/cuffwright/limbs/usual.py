"""The order of work as commonly done, for any field, and what sets it apart from a plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.limbs.coding import Board
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.judge import apply, opening
from cuffwright.limbs.rules import owed

REASONS: dict[str, str] = {
    "grouped": "unpassed limbs need no grouping: each goes from where it came in straight to the passing cannula",
    "brought to be passed": "every limb comes to the passing cannula once in either order",
    "parked after its pass": "a limb handed to a grasper in the parking portal is parked by the pass itself",
    "brought to be tied": "pairs are brought in one grasp; a pair may be tied in the cannula it already hangs in",
    "parked after its knot": "a limb that the next lateral anchor takes may stay in the cannula",
    "brought to be seated": "limbs of a lateral anchor that wait in one portal come two by two",
}
"""Why the retrievals of each purpose differ."""


@dataclass(frozen=True)
class Difference:
    """Retrievals of one purpose, or moves of another kind, in the usual order and in the plan, and the reason."""

    purpose: str
    usual: int
    planned: int
    reason: str


def usual(field: LimbField, *, grouped: bool = True, singly: bool = True) -> tuple[Move, ...]:
    """Anchors first, each limb brought back through its own portal and parked, pairs tied, then lateral anchors.

    ``grouped`` gathers all unpassed limbs where passed ones wait; ``singly`` fetches limbs of lateral anchors one by
    one. The list is not judged here: check it.

    Raises
    ------
    CaseError
        When no open portal admits an anchor, reaches a hole, or holds a cannula to tie in.
    """
    hand = _Hand(field)
    hand.anchors(grouped)
    hand.passes()
    hand.knots()
    hand.laterals(1 if singly else field.grasp)
    return tuple(hand.moves)


class _Hand:
    """A state being worked on, and the moves made so far."""

    def __init__(self, field: LimbField) -> None:
        self.field, self.board = field, Board(field)
        self.diagram = Diagram(self.board)
        self.state, self.moves = opening(field), list[Move]()

    def do(self, move: Move) -> None:
        self.moves.append(move)
        self.state = apply(self.field, self.state, move, self.diagram)

    def bring(self, limbs: Sequence[str], to: str, size: int) -> None:
        """Retrieve limbs to a portal, those of one portal together up to ``size``."""
        for source in self.board.portals:
            here = [x for x in limbs if x in self.state.hanging(source)]
            if source != to:
                for k in range(0, len(here), size):
                    self.do(Move("retrieve", tuple(here[k : k + size]), source, to))

    def way(self, ways: Sequence[int], what: str) -> str:
        """The first of some portals that the arthroscope leaves free."""
        free = [self.board.portals[k] for k in ways if self.board.portals[k] != self.state.scope]
        if not free:
            raise CaseError(f"no portal is free for {what} in the usual order; move a portal or the arthroscope")
        return free[0]

    def anchors(self, grouped: bool) -> None:
        park = self.field.portal(self.field.passed_park).name
        for c, carrier in enumerate(self.field.carriers):
            to = self.way(self.board.inserts[c], f"anchor {carrier.name}")
            here = self.state.hanging(to)
            if grouped and len(here) + 2 * len(self.board.carried[c]) > self.field.portal(to).capacity:
                self.bring(here, park, self.field.grasp)
            self.do(Move("insert", to=to, anchor=carrier.name))
        if grouped:
            self.bring([x.limb for x in self.state.limbs if x.stage == "unpassed"], park, self.field.grasp)

    def passes(self) -> None:
        park = self.field.portal(self.field.passed_park).name
        order = [i for i, u in enumerate(self.board.hole) if u is not None]
        order.sort(key=lambda i: self.board.pass_rank[i])
        for i in order:
            limb = self.board.limbs[i]
            if self.board.passes[i]:
                self.view_back()
                way = self.way(self.board.passes[i], limb)
                self.bring([limb], way, 1)
                self.do(Move("pass", (limb,), way, way))
                self.bring([limb], park, 1)
            else:
                self.pierce(i, limb)
        self.view_back()

    def pierce(self, i: int, limb: str) -> None:
        view = self.field.portal(self.field.pierce_view).name if self.field.pierce_view else self.state.scope
        if self.state.scope != view:
            self.do(Move("scope", to=view))
        self.do(Move("penetrate", (limb,), self.state.limb(limb).place, self.way(self.board.pierces[i], limb)))

    def view_back(self) -> None:
        """The arthroscope back to where it started, limbs out of its way."""
        home = self.field.portal(self.field.scope).name
        if self.state.scope != home:
            self.bring(self.state.hanging(home), self.field.portal(self.field.tied_park).name, self.field.grasp)
            self.do(Move("scope", to=home))

    def knots(self) -> None:
        workers = [k for k, p in enumerate(self.field.portals) if p.cannula and p.open]
        order = [q for q, tied in enumerate(self.board.tied) if tied]
        for q in sorted(order, key=lambda q: self.board.tie_rank[q]):
            suture = self.field.sutures[q]
            way = self.way(workers, suture.name)
            self.gather(suture.limbs)
            self.bring(suture.limbs, way, 2)
            self.do(Move("tie", suture.limbs, to=way))
            if self.board.tied_off[q]:
                self.do(Move("cut", suture.limbs))
            else:
                self.bring(suture.limbs, self.field.portal(self.field.tied_park).name, 2)

    def gather(self, pair: tuple[str, str]) -> None:
        """A pair parked in two portals comes into one first."""
        places = {self.state.limb(x).place for x in pair}
        if len(places) > 1:
            self.bring(pair, self.field.portal(self.field.passed_park).name, 2)

    def laterals(self, size: int) -> None:
        for j in sorted(range(len(self.field.seats)), key=lambda j: self.field.seats[j].at):
            due = owed(self.board, self.board.coded(self.state), j)
            if not due:
                continue
            limbs = [self.board.limbs[i] if q < 0 else self.limb_of(q) for i, q in due]
            way = self.way(self.board.seats[j], self.field.seats[j].name)
            self.bring(limbs, way, size)
            self.do(Move("seat", tuple(limbs), to=way, anchor=self.field.seats[j].name))

    def limb_of(self, q: int) -> str:
        """The front limb of a knotted pair while it still hangs, else the back one."""
        front, back = self.field.sutures[q].limbs
        return front if self.state.limb(front).stage == "knotted" else back


def differences(
    field: LimbField, state: LimbState, common: Sequence[Move], plan: Sequence[Move]
) -> tuple[Difference, ...]:
    """Where two lists of moves from one state differ in number, by the purpose of each retrieval."""
    first, second = (list(_purposes(field, state, moves)) for moves in (common, plan))
    names = dict.fromkeys([*REASONS, *first, *second])
    found = [
        Difference(name, first.count(name), second.count(name), REASONS.get(name, "the kind of work differs"))
        for name in names
    ]
    return tuple(d for d in found if d.usual != d.planned)


def _purposes(field: LimbField, state: LimbState, moves: Sequence[Move]) -> Iterator[str]:
    diagram = Diagram(Board(field))
    work = {p.name for p in field.portals if p.cannula or p.seats}
    for move in moves:
        if move.kind != "retrieve":
            yield move.kind
        else:
            stage = state.limb(move.limbs[0]).stage
            yield _purpose(stage, move, work, field.suture(move.limbs[0]).ending == "knotless")
        state = apply(field, state, move, diagram)


def _purpose(stage: str, move: Move, work: set[str], knotless: bool) -> str:
    if stage == "unpassed":
        return "brought to be passed" if move.to in work else "grouped"
    if stage == "knotted" or (knotless and move.to in work):
        return "brought to be seated" if move.to in work else "parked after its knot"
    return "brought to be tied" if move.to in work else "parked after its pass"
