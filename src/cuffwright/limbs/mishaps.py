"""What a mishap changes in field and state, and the new plan from there."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Mishap, MishapKind, Replanned
from cuffwright.case.limbs import LimbAt, LimbField, LimbState
from cuffwright.limbs.counts import Minutes
from cuffwright.limbs.felt import can_be_pulled, poor_tissue, soft_bone, vision_lost
from cuffwright.limbs.planning import NO_LOG, make_plan
from cuffwright.limbs.replacing import Changed, longer, replaced, rescued
from cuffwright.limbs.search import BUDGET
from cuffwright.limbs.words import Arm

THREE_STRANDS = 3
"""Numerical choice: strands an eyelet must admit for a weave through the braid of its neighbour."""

HANGING = ("unpassed", "passed", "knotted")
"""Stages of a limb that hangs out of a portal."""


def mishap(
    field: LimbField,
    state: LimbState,
    event: Mishap,
    *,
    arm: Arm = lambda _: "",
    minutes: Minutes = NO_LOG,
    budget: int = BUDGET,
) -> Replanned:
    """Field, state and plan after a mishap; ``budget`` is how many states the search may look at.

    Raises
    ------
    CaseError
        When the mishap cannot have befallen what it names, its answer is not one, or no order of work is left.
    """
    found, after, changes = befallen(field, state, event)
    plan = make_plan(found, after, arm=arm, minutes=minutes, budget=budget)
    return Replanned(found, after, plan, changes)


def befallen(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """Field, state and what changed after a mishap, without a new plan; raises CaseError as :func:`mishap` does."""
    field, state, changes = EDITS[event.kind](field, state, event)
    left = tuple(a for a in state.untested if can_be_pulled(field, state, a))
    return field, replace(state, untested=left), changes


def lost(state: LimbState, limbs: Iterable[str]) -> LimbState:
    """The state with these limbs removed; those fixed or cut already stay as they are."""
    gone = {x for x in limbs if state.limb(x).stage in ("outside", *HANGING)}
    at = tuple(LimbAt(x.limb, "removed") if x.limb in gone else x for x in state.limbs)
    pairs, doubt = (tuple(p for p in some if not gone & set(p)) for some in (state.over, state.suspect))
    together = tuple(q for q in state.together if f"{q}F" not in gone and f"{q}B" not in gone)
    astray = tuple(x for x in state.astray if x not in gone)
    return replace(state, limbs=at, over=pairs, suspect=doubt, together=together, astray=astray)


def _placed(state: LimbState, changed: Iterable[LimbAt]) -> LimbState:
    """The state with some limbs at another stage or place, in no common grasp."""
    new = {x.limb: x for x in changed}
    together = tuple(q for q in state.together if f"{q}F" not in new and f"{q}B" not in new)
    return replace(state, limbs=tuple(new.get(x.limb, x) for x in state.limbs), together=together)


def _anchor_out(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    if event.name in {s.name for s in field.seats}:
        return _seat_out(field, state, event)
    carrier = field.carrier(event.name)
    sutures = [s for s in field.sutures if s.carrier == carrier.name]
    limbs = [x for s in sutures for x in s.limbs]
    if sutures and all(state.limb(x).stage == "outside" for x in limbs):
        raise CaseError(f"anchor {carrier.name} is not in yet, so it cannot have come out; name another")
    living = [s for s in sutures if any(state.limb(x).stage in HANGING for x in s.limbs)]
    after = lost(replace(state, untested=tuple(a for a in state.untested if a != carrier.name)), limbs)
    changes = tuple(f"remove suture {s.name}" for s in living)
    if event.at is None:
        return field, after, changes
    return replaced(field, after, carrier, living, event.at, changes)


def _seat_out(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """A lateral anchor out: its limbs hang out of the portal it was seated by, and it goes in again."""
    (seat,) = (s for s in field.seats if s.name == event.name)
    if seat.name not in state.seated:
        raise CaseError(f"lateral anchor {seat.name} is not in yet, so it cannot have come out; name another")
    at = seat.at if event.at is None else event.at
    ways = [p.name for p in field.portals if p.open and p.seats and p.seats.holds(seat.at) and p.name != state.scope]
    if not ways:
        raise CaseError(f"no portal admits lateral anchor {seat.name} again; open or move a portal")
    stages = {s.name: "passed" if s.ending == "knotless" else "knotted" for s in field.sutures}
    back = [
        LimbAt(x.limb, "passed" if stages[field.suture(x.limb).name] == "passed" else "knotted", ways[0])
        for x in state.limbs
        if x.stage == "fixed" and x.place == seat.name
    ]
    after = _placed(replace(state, seated=tuple(s for s in state.seated if s != seat.name)), back)
    seats = tuple(replace(s, at=at) if s.name == seat.name else s for s in field.seats)
    words = f"seat lateral anchor {seat.name} again with {', '.join(x.limb for x in back)}"
    return replace(field, seats=seats), after, (words,)


def _unloaded(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    suture = field.suture(event.name)
    if any(state.limb(x).stage not in ("unpassed", "passed") for x in suture.limbs):
        raise CaseError(
            f"suture {suture.name} is tied, fixed or not in; only an untied one can be pulled from its eyelet"
        )
    match event.answer:
        case "rethread":
            return _rethreaded(field, state, suture.name)
        case "drop":
            return field, lost(state, suture.limbs), (f"remove suture {suture.name} and do without it",)
        case "rescue":
            if event.at is None:
                raise CaseError(f"a rescue anchor for suture {suture.name} needs its place along the tear; enter it")
            return rescued(field, lost(state, suture.limbs), suture, event.at)
    raise CaseError(f"the answer to an unloaded suture is rethread, drop or rescue, not {event.answer or 'nothing'}")


def _rethreaded(field: LimbField, state: LimbState, name: str) -> Changed:
    suture = field.suture(name)
    eyelet = field.carrier(suture.carrier).eyelet
    if eyelet is None:
        raise CaseError(f"whether suture {name} can be rethreaded is not known, needs what its eyelet admits")
    mates = [s for s in field.sutures if s.carrier == suture.carrier and s.name != name]
    inside = [s.name for s in mates if all(state.limb(x).stage in ("unpassed", "passed") for x in s.limbs)]
    if eyelet < THREE_STRANDS or not inside:
        why = "no other suture slides in it" if not inside else f"it admits {eyelet}, not {THREE_STRANDS}"
        raise CaseError(
            f"suture {name} cannot be woven through its eyelet again: {why}; drop it or use a rescue anchor"
        )
    back = [LimbAt(x, "unpassed", state.limb(x).place) for x in suture.limbs]
    words = (
        f"weave suture {name} through the braid of {inside[0]} and pull it through the eyelet",
        f"pass {name} again",
    )
    return field, _placed(state, back), words


def _broke(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    suture = field.suture(event.name)
    stages = {state.limb(x).stage for x in suture.limbs}
    if stages & {"outside", "unpassed", "passed"}:
        return field, lost(state, suture.limbs), (f"remove suture {suture.name}: broke before it was tied",)
    limb = event.limb or (event.name if event.name in suture.limbs else "")
    if limb not in suture.limbs:
        raise CaseError(f"suture {suture.name} is tied: name the limb that broke, {' or '.join(suture.limbs)}")
    if state.limb(limb).stage != "knotted":
        raise CaseError(f"limb {limb} is {state.limb(limb).stage}; what broke of it changes no move")
    mate = next(x for x in suture.limbs if x != limb)
    return field, lost(state, (limb,)), (f"remove limb {limb}; {mate} goes to the first lateral anchor left for it",)


def _knot_failed(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    suture = field.suture(event.name)
    stages = [state.limb(x).stage for x in suture.limbs]
    if not set(stages) & {"knotted", "fixed", "cut"}:
        raise CaseError(f"suture {suture.name} is not tied, so its knot cannot have failed; name another")
    if stages == ["knotted", "knotted"]:
        back = [LimbAt(x, "passed", state.limb(x).place) for x in suture.limbs]
        return field, _placed(state, back), (f"tie suture {suture.name} again",)
    return field, lost(state, suture.limbs), (f"remove what hangs of suture {suture.name}",)


def _longer(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    if event.at is None:
        raise CaseError("a longer tear needs the place of its new anchor along the tear; enter it")
    return longer(field, state, event.at)


def _shut(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """A portal unusable: limbs may leave it, nothing enters; an arthroscope in it goes to another."""
    name = field.portal(event.name).name
    portals = tuple(replace(p, open=False) if p.name == name else p for p in field.portals)
    changes = [f"nothing enters by the {name} portal"]
    if state.scope == name:
        free = [p.name for p in portals if p.views and p.open and not state.hanging(p.name)]
        if not free:
            raise CaseError(f"the arthroscope stands in the {name} portal and no other free portal may view; clear one")
        state = replace(state, scope=free[0])
        changes.append(f"arthroscope to the {free[0]} portal")
    return replace(field, portals=portals, scope=state.scope), state, tuple(changes)


def _cannula_lost(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    name = field.portal(event.name).name
    if name not in state.cannulas:
        raise CaseError(f"there is no cannula in the {name} portal to lose; name another portal")
    return field, replace(state, cannulas=tuple(c for c in state.cannulas if c != name)), (f"cannula out of {name}",)


def _wrong_limb(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """A limb went through the hole of another: the layout is changed, or the limb taken back."""
    limb, meant = state.limb(event.limb), state.limb(event.name)
    if limb.stage == "unpassed" and meant.stage == "passed":
        swapped = [replace(meant, limb=limb.limb), replace(limb, limb=meant.limb)]
        state = _placed(state, swapped)
        limb, meant = state.limb(event.limb), state.limb(event.name)
    if limb.stage != "passed" or meant.stage != "unpassed":
        raise CaseError(f"limb {event.limb} cannot be in the hole of {event.name} by mistake; look which limb it is")
    if event.answer == "unpass":
        words = f"take limb {limb.limb} back out of the hole of {meant.limb}: step 1"
        return field, replace(state, astray=(*state.astray, limb.limb)), (words,)
    if event.answer != "accept":
        raise CaseError(f"the answer to a wrong limb is accept or unpass, not {event.answer or 'nothing'}")
    return _exchanged(field, limb.limb, meant.limb), state, (f"limbs {limb.limb} and {meant.limb} exchange holes",)


def _exchanged(field: LimbField, one: str, two: str) -> LimbField:
    holes = {x: u for s in field.sutures for x, u in zip(s.limbs, (s.front, s.back), strict=True)}
    holes[one], holes[two] = holes[two], holes[one]
    sutures = tuple(replace(s, front=holes[s.limbs[0]], back=holes[s.limbs[1]]) for s in field.sutures)
    return replace(field, sutures=sutures)


EDITS: dict[MishapKind, Callable[[LimbField, LimbState, Mishap], Changed]] = {
    "anchor out": _anchor_out,
    "suture unloaded": _unloaded,
    "suture broke": _broke,
    "knot failed": _knot_failed,
    "tear longer": _longer,
    "portal unusable": _shut,
    "cannula lost": _cannula_lost,
    "wrong limb": _wrong_limb,
    "soft bone": soft_bone,
    "poor tissue": poor_tissue,
    "vision lost": vision_lost,
}
"""What each mishap changes."""
