"""New anchors during the operation: instead of one that came out, to rescue a suture, or for a longer tear."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from string import ascii_lowercase

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import Carrier, LimbAt, LimbField, LimbState, Seat, Suture

Changed = tuple[LimbField, LimbState, tuple[str, ...]]
"""The field, the state and what changed in words."""


def replaced(
    field: LimbField,
    state: LimbState,
    carrier: Carrier,
    lost: Sequence[Suture],
    at: float,
    said: tuple[str, ...] = (),
) -> Changed:
    """A new anchor at ``at`` with a suture for each one lost, to the lateral anchors that still stand open."""
    name = _free(field)
    new = replace(carrier, name=name, at=at)
    shift = at - carrier.at
    sutures = [
        _moved(state, suture, f"{name}{letter}", name, shift)
        for letter, suture in zip(ascii_lowercase, lost, strict=False)
    ]
    if not sutures:
        raise CaseError(f"anchor {carrier.name} has no suture left to replace; leave the new anchor out")
    return _added(field, state, new, sutures, (*said, f"insert anchor {name}"))


def rescued(field: LimbField, state: LimbState, suture: Suture, at: float) -> Changed:
    """A new anchor that carries one suture instead of the one lost."""
    said = (f"remove suture {suture.name}",)
    return replaced(field, state, field.carrier(suture.carrier), [suture], at, said)


def longer(field: LimbField, state: LimbState, at: float) -> Changed:
    """One more anchor for a longer tear, strung like its neighbour; a new lateral anchor where none has room."""
    anchors = [c for c in field.carriers if any(s.carrier == c.name for s in field.sutures)]
    if not anchors:
        raise CaseError("there is no anchor whose stringing a new one could follow; lay the repair anew")
    near = min(anchors, key=lambda c: (abs(c.at - at), c.name))
    sutures = [s for s in field.sutures if s.carrier == near.name]
    owed = {seat.name: sum(s.seats.count(seat.name) for s in field.sutures) for seat in field.seats}
    more = {seat.name: sum(s.seats.count(seat.name) for s in sutures) for seat in field.seats}
    full = [x for x in field.seats if more[x.name] and (x.name in state.seated or owed[x.name] + more[x.name] > x.load)]
    if not full:
        return replaced(field, state, near, sutures, at)
    taken = {s.name for s in field.seats} | {c.name for c in field.carriers}
    name = next(f"L{k}" for k in count(len(field.seats) + 1) if f"L{k}" not in taken)
    field = replace(field, seats=(*field.seats, Seat(name, at, max(s.load for s in field.seats))))
    sutures = [replace(s, seats=tuple(name if t else "" for t in s.seats)) for s in sutures]
    return replaced(field, state, near, sutures, at, (f"one more lateral anchor {name}",))


def _free(field: LimbField) -> str:
    taken = {c.name for c in field.carriers} | {s.name for s in field.seats}
    return next(str(k) for k in count(len(field.carriers) + 1) if str(k) not in taken)


def _moved(state: LimbState, suture: Suture, name: str, carrier: str, shift: float) -> Suture:
    """A suture like another, its holes moved along; limbs of lateral anchors already seated go to one still open."""
    front, back = (None if u is None else u + shift for u in (suture.front, suture.back))
    new = replace(suture, name=name, carrier=carrier, front=front, back=back, look=None)
    open_ = [t for t in suture.seats if t and t not in state.seated]
    if len(open_) == len([t for t in suture.seats if t]):
        return new
    if not open_:
        if suture.ending == "knotless":
            raise CaseError(f"no lateral anchor is left for a suture like {suture.name}; add one")
        return replace(new, ending="tied and cut", seats=())
    return replace(new, seats=tuple(t if t in open_ or not t else open_[0] for t in suture.seats))


def _added(
    field: LimbField, state: LimbState, new: Carrier, sutures: Sequence[Suture], said: tuple[str, ...]
) -> Changed:
    field = replace(field, carriers=(*field.carriers, new), sutures=(*field.sutures, *sutures))
    limbs = (*state.limbs, *(LimbAt(x, "outside") for s in sutures for x in s.limbs))
    return field, replace(state, limbs=limbs), said
