"""The order of work as commonly done, for any field, and what sets it apart from a plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.limbs.coding import Board
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.judge import apply, opening
from cuffwright.limbs.rules import owed
from cuffwright.limbs.under import laid

REASONS: dict[str, str] = {
    "grouped": "unpassed limbs need no grouping: each goes from where it came in straight to the passing cannula",
    "brought to be passed": "a limb that comes in by the passing cannula and stays there need not be brought to it",
    "parked after its pass": "a limb handed to a grasper in the parking portal is parked by the pass itself",
    "brought to be tied": "pairs are brought in one grasp; a pair may be tied in the cannula it already hangs in",
    "parked after its knot": "a limb that the next lateral anchor takes may stay in the cannula",
    "brought to be seated": "limbs of a lateral anchor that wait in one portal come two by two",
    "out of the arthroscope's way": "the less often the view changes, the fewer limbs must leave its portal first",
    "scope": "holes that need the other view are pierced one after another, between two changes of it",
}
"""Why the retrievals of each purpose, and other kinds of moves, differ."""


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
    one. Limbs go under those that their knot or lateral anchor would else pin, as in a plan. The list is not judged
    here: check it.

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
    return laid(hand.board, opening(field), tuple(hand.board.coded_move(m) for m in hand.moves))


class _Hand:
    """A state being worked on, and the moves made so far."""

    def __init__(self, field: LimbField) -> None:
        self.field, self.board = field, Board(field)
        self.diagram = Diagram(self.board)
        self.state, self.moves = opening(field), list[Move]()
        self.home, self.passed, self.tied = (
            field.portal(name).name for name in (field.scope, field.passed_park, field.tied_park)
        )

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

    def clear(self, portal: str, keep: Sequence[str] = ()) -> None:
        """Take out of a portal what is not to stay: knotted limbs to where tied ones wait, the others to the front."""
        others = [x for x in self.state.hanging(portal) if x not in keep]
        knotted = [x for x in others if self.state.limb(x).stage == "knotted"]
        for limbs, park in ((knotted, self.tied), ([x for x in others if x not in knotted], self.passed)):
            self.bring(limbs, park if park != portal else self.tied, self.field.grasp)

    def look(self, view: str) -> None:
        """The arthroscope to a portal, limbs out of its way."""
        if self.state.scope != view:
            self.clear(view)
            self.do(Move("scope", to=view))

    def way(self, ways: Sequence[int], what: str) -> str:
        """The first of some portals that the arthroscope leaves free; where it leaves none, it goes elsewhere."""
        names = [self.board.portals[k] for k in ways]
        free = [name for name in names if name != self.state.scope]
        if free:
            return free[0]
        views = [self.board.portals[k] for k in self.board.views if self.board.portals[k] != self.state.scope]
        if not names or not views:
            raise CaseError(f"no portal is free for {what} in the usual order; move a portal or the arthroscope")
        self.look(self.home if self.home in views else views[0])
        return names[0]

    def anchors(self, grouped: bool) -> None:
        for c, carrier in enumerate(self.field.carriers):
            to = self.way(self.board.inserts[c], f"anchor {carrier.name}")
            if len(self.state.hanging(to)) + 2 * len(self.board.carried[c]) > self.field.portal(to).capacity:
                self.clear(to)
            self.do(Move("insert", to=to, anchor=carrier.name))
        if grouped:
            unpassed = [x.limb for x in self.state.limbs if x.stage == "unpassed"]
            self.bring(unpassed, self.passed, self.field.grasp)

    def passes(self) -> None:
        order = [i for i, u in enumerate(self.board.hole) if u is not None]
        order.sort(key=lambda i: self.board.pass_rank[i])
        for i in order:
            limb = self.board.limbs[i]
            if self.board.passes[i]:
                way = self.way(self.board.passes[i], limb)
                self.clear(way, [limb])
                self.bring([limb], way, 1)
                self.do(Move("pass", (limb,), way, way))
                self.bring([limb], self.passed, 1)
            else:
                self.pierce(i, limb)
        if self.state.scope != self.home:
            self.look(self.home)

    def pierce(self, i: int, limb: str) -> None:
        if self.field.pierce_view:
            self.look(self.field.portal(self.field.pierce_view).name)
        way, place = self.way(self.board.pierces[i], limb), self.state.limb(limb).place
        if place != way and len(self.state.hanging(way)) >= self.field.portal(way).capacity:
            self.clear(way)
        self.do(Move("penetrate", (limb,), place, way))

    def knots(self) -> None:
        workers = [k for k, p in enumerate(self.field.portals) if p.cannula and p.open]
        order = [q for q, tied in enumerate(self.board.tied) if tied]
        for q in sorted(order, key=lambda q: self.board.tie_rank[q]):
            suture = self.field.sutures[q]
            way = self.way(workers, suture.name)
            self.clear(way)
            if len({self.state.limb(x).place for x in suture.limbs}) > 1:
                self.bring(suture.limbs, self.passed, 2)
            self.bring(suture.limbs, way, 2)
            self.do(Move("tie", suture.limbs, to=way))
            if self.board.tied_off[q]:
                self.do(Move("cut", suture.limbs))
            else:
                self.bring(suture.limbs, self.tied, 2)

    def laterals(self, size: int) -> None:
        for j in sorted(range(len(self.field.seats)), key=lambda j: self.field.seats[j].at):
            limbs: list[str] = []
            for i, q in owed(self.board, self.board.coded(self.state), j):
                limbs.append(self.board.limbs[i] if q < 0 else self.limb_of(q, limbs))
            if limbs:
                way = self.way(self.board.seats[j], self.field.seats[j].name)
                self.clear(way, limbs)
                self.bring(limbs, way, size)
                self.do(Move("seat", tuple(limbs), to=way, anchor=self.field.seats[j].name))

    def limb_of(self, q: int, taken: Sequence[str]) -> str:
        """The front limb of a knotted pair while it hangs and is not taken yet, else the back one."""
        front, back = self.field.sutures[q].limbs
        return front if self.state.limb(front).stage == "knotted" and front not in taken else back


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
    for at, move in enumerate(moves):
        if move.kind != "retrieve":
            yield move.kind
        else:
            stage = state.limb(move.limbs[0]).stage
            view = next((later.to for later in moves[at:] if later.kind == "scope"), "")
            if move.source == view and stage != "unpassed" and move.to not in work:
                yield "out of the arthroscope's way"
            else:
                yield _purpose(stage, move, work, field.suture(move.limbs[0]).ending == "knotless")
        state = apply(field, state, move, diagram)


def _purpose(stage: str, move: Move, work: set[str], knotless: bool) -> str:
    if stage == "unpassed":
        return "brought to be passed" if move.to in work else "grouped"
    if stage == "knotted" or (knotless and move.to in work):
        return "brought to be seated" if move.to in work else "parked after its knot"
    return "brought to be tied" if move.to in work else "parked after its pass"
