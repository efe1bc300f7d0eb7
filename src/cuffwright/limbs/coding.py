"""A field of limbs as small integers, so that search is quick; the same coding serves judge and planner."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, get_args

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import LimbAt, LimbField, LimbState, Move, MoveKind, Span, Stage

STAGES: tuple[Stage, ...] = get_args(Stage)
"""Stages in the order of their code."""

OUTSIDE, UNPASSED, PASSED, KNOTTED, FIXED, CUT, REMOVED = range(len(STAGES))

STRIDE = 64
"""Numerical choice: a limb's code is its stage times this plus its place; more than any number of portals."""


class State(NamedTuple):
    """Codes of all limbs, the arthroscope's portal, bits: together, seated, cannulas; 1 while it is in the joint."""

    at: tuple[int, ...]
    scope: int
    together: int
    seated: int
    cannulas: int
    joint: int


class Coded(NamedTuple):
    """A move in codes: ``what`` is the carrier, suture or seat it is about."""

    kind: MoveKind
    limbs: tuple[int, ...] = ()
    source: int = -1
    to: int = -1
    what: int = -1
    joint: int = 0


def stage_of(code: int) -> int:
    """The stage in a limb's code."""
    return code // STRIDE


def place_of(code: int) -> int:
    """The place in a limb's code."""
    return code % STRIDE


def lives(code: int) -> bool:
    """Whether the limb hangs out of a portal."""
    return UNPASSED <= code // STRIDE <= KNOTTED


def _holds(span: Span | None, u: float) -> bool:
    return span is not None and span.holds(u)


@dataclass(frozen=True)
class Board:
    """The field as search reads it; portals, limbs, carriers, sutures and seats by index."""

    field: LimbField

    @cached_property
    def portals(self) -> tuple[str, ...]:
        """Portal names by index."""
        return tuple(p.name for p in self.field.portals)

    @cached_property
    def limbs(self) -> tuple[str, ...]:
        """Limb names by index: twice the suture's index, plus 1 for the back limb."""
        return tuple(limb for s in self.field.sutures for limb in s.limbs)

    @cached_property
    def hard(self) -> frozenset[str]:
        """Names of the rules that bind."""
        return frozenset(r.name for r in self.field.rules if r.weight == "hard")

    @cached_property
    def capacity(self) -> tuple[int, ...]:
        """How many limbs each portal holds."""
        return tuple(p.capacity for p in self.field.portals)

    @cached_property
    def open(self) -> tuple[bool, ...]:
        """Whether limbs and instruments may enter by each portal."""
        return tuple(p.open for p in self.field.portals)

    @cached_property
    def views(self) -> tuple[int, ...]:
        """Portals the arthroscope may stand in."""
        return tuple(k for k, p in enumerate(self.field.portals) if p.views and p.open)

    @cached_property
    def hole(self) -> tuple[float | None, ...]:
        """The hole of each limb, chart u; None without one."""
        return tuple(u for s in self.field.sutures for u in (s.front, s.back))

    @cached_property
    def carrier(self) -> tuple[int, ...]:
        """The carrier of each suture."""
        names = [c.name for c in self.field.carriers]
        return tuple(names.index(s.carrier) for s in self.field.sutures)

    @cached_property
    def carried(self) -> tuple[tuple[int, ...], ...]:
        """The sutures of each carrier."""
        count = len(self.field.carriers)
        return tuple(tuple(q for q, c in enumerate(self.carrier) if c == k) for k in range(count))

    @cached_property
    def inserts(self) -> tuple[tuple[int, ...], ...]:
        """Portals each carrier may go in by."""
        return tuple(
            tuple(
                k
                for k, p in enumerate(self.field.portals)
                if p.open and (p.name in c.through if c.through else _holds(p.inserts, c.at))
            )
            for c in self.field.carriers
        )

    @cached_property
    def passes(self) -> tuple[tuple[int, ...], ...]:
        """Portals from which a passer reaches each limb's hole."""
        return tuple(self._reached(u, "passes") for u in self.hole)

    @cached_property
    def pierces(self) -> tuple[tuple[int, ...], ...]:
        """Portals from which a penetrating instrument reaches each limb's hole."""
        return tuple(self._reached(u, "pierces") for u in self.hole)

    def _reached(self, u: float | None, way: str) -> tuple[int, ...]:
        if u is None:
            return ()
        return tuple(k for k, p in enumerate(self.field.portals) if p.open and _holds(getattr(p, way), u))

    @cached_property
    def seats(self) -> tuple[tuple[int, ...], ...]:
        """Portals each lateral anchor may be seated by."""
        return tuple(
            tuple(k for k, p in enumerate(self.field.portals) if p.open and _holds(p.seats, s.at))
            for s in self.field.seats
        )

    @cached_property
    def targets(self) -> tuple[tuple[int, ...], ...]:
        """Seats of each suture, in its own order; -1 for none."""
        names = [s.name for s in self.field.seats]
        return tuple(tuple(names.index(t) if t else -1 for t in s.seats) for s in self.field.sutures)

    @cached_property
    def tied(self) -> tuple[bool, ...]:
        """Whether each suture is tied."""
        return tuple(s.ending != "knotless" for s in self.field.sutures)

    @cached_property
    def tied_off(self) -> tuple[bool, ...]:
        """Whether each suture is tied and cut."""
        return tuple(s.ending == "tied and cut" for s in self.field.sutures)

    @cached_property
    def first(self) -> tuple[int, ...]:
        """Carriers that go in before any limb is passed."""
        return tuple(k for k, c in enumerate(self.field.carriers) if c.first)

    @cached_property
    def pass_rank(self) -> tuple[int, ...]:
        """Place of each limb in the order of passing: closing stitches, first carriers, then from the front."""
        kinds = [self.field.carriers[self.carrier[i // 2]] for i in range(len(self.limbs))]
        keys = [
            (k.kind != "free suture", not k.first, u or 0.0, i)
            for i, (k, u) in enumerate(zip(kinds, self.hole, strict=True))
        ]
        places = {i: n for n, (*_, i) in enumerate(sorted(keys))}
        return tuple(places[i] for i in range(len(self.limbs)))

    @cached_property
    def tie_rank(self) -> tuple[int, ...]:
        """The place of each suture in the order of tying: closing stitches first, then from the back."""
        keys = []
        for q, suture in enumerate(self.field.sutures):
            holes = [u for u in (suture.front, suture.back) if u is not None]
            carrier = self.field.carriers[self.carrier[q]]
            keys.append((carrier.kind != "free suture", -sum(holes) / max(1, len(holes)), q))
        places = {q: n for n, (*_, q) in enumerate(sorted(keys))}
        return tuple(places[q] for q in range(len(keys)))

    @cached_property
    def pierce_view(self) -> int:
        """The portal from which a penetrating pass is watched; -1 any."""
        return self.portals.index(self.field.portal(self.field.pierce_view).name) if self.field.pierce_view else -1

    @cached_property
    def parks(self) -> tuple[int, int]:
        """Portals where passed and where tied limbs wait by preference."""
        names = (self.field.passed_park, self.field.tied_park)
        first, second = (self.portals.index(self.field.portal(name).name) for name in names)
        return first, second

    def coded(self, state: LimbState) -> State:
        """A plain state in codes; raises CaseError when it names what is not there."""
        at = tuple(self._code(state.limb(name)) for name in self.limbs)
        sutures = [s.name for s in self.field.sutures]
        seats = [s.name for s in self.field.seats]
        return State(
            at,
            self.portals.index(self.field.portal(state.scope).name),
            sum(1 << sutures.index(name) for name in state.together),
            sum(1 << seats.index(name) for name in state.seated),
            sum(1 << self.portals.index(self.field.portal(name).name) for name in state.cannulas),
            int(state.compartment == "joint"),
        )

    def _code(self, limb: LimbAt) -> int:
        stage = STAGES.index(limb.stage)
        if UNPASSED <= stage <= KNOTTED:
            return stage * STRIDE + self.portals.index(self.field.portal(limb.place).name)
        if stage == FIXED:
            return stage * STRIDE + [s.name for s in self.field.seats].index(limb.place)
        return stage * STRIDE

    def at(self, name: str, code: int) -> LimbAt:
        """A limb's code as a plain value."""
        stage = stage_of(code)
        if stage == FIXED:
            return LimbAt(name, STAGES[stage], self.field.seats[place_of(code)].name)
        return LimbAt(name, STAGES[stage], self.portals[place_of(code)] if lives(code) else "")

    def coded_move(self, move: Move) -> Coded:
        """A plain move in codes; raises CaseError when it names what is not there."""
        limbs = tuple(self._limb(name) for name in move.limbs)
        source, to = (self.portals.index(self.field.portal(p).name) if p else -1 for p in (move.source, move.to))
        what = -1
        if move.kind in ("insert", "test"):
            what = [c.name for c in self.field.carriers].index(self.field.carrier(move.anchor).name)
        elif move.kind == "seat":
            names = [s.name for s in self.field.seats]
            if move.anchor not in names:
                raise CaseError(f"there is no lateral anchor {move.anchor}; there are {', '.join(names) or 'none'}")
            what = names.index(move.anchor)
        elif move.kind in ("tie", "cut"):
            if not limbs:
                raise CaseError(f"the move {move.kind} names no limb; name both limbs of the suture")
            what = limbs[0] // 2
        return Coded(move.kind, limbs, source, to, what, int(move.compartment == "joint"))

    def _limb(self, name: str) -> int:
        if name not in self.limbs:
            raise CaseError(f"there is no limb {name} here; there are {', '.join(self.limbs)}")
        return self.limbs.index(name)

    def plain_move(self, move: Coded) -> Move:
        """A coded move as a plain value."""
        anchor = ""
        if move.kind in ("insert", "test"):
            anchor = self.field.carriers[move.what].name
        elif move.kind == "seat":
            anchor = self.field.seats[move.what].name
        source, to = (self.portals[p] if p >= 0 else "" for p in (move.source, move.to))
        limbs = tuple(self.limbs[i] for i in move.limbs)
        compartment = "joint" if move.joint else "subacromial"
        return Move(
            move.kind, limbs, source, to, anchor, compartment="joint" if compartment == "joint" else "subacromial"
        )
