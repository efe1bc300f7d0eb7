"""What is felt or seen in theatre and changes the plan of limbs: soft bone, poor tissue, a view that is lost."""

from dataclasses import replace

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Mishap
from cuffwright.case.limbs import LimbField, LimbState
from cuffwright.limbs.replacing import Changed, longer


def soft_bone(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """An anchor not yet in goes elsewhere, one more goes in, or the one that is in is pulled on again.

    Raises
    ------
    CaseError
        When the anchor is in already and is to go elsewhere, or the new place is not given.
    """
    if event.answer == "extra":
        return longer(field, state, _place(event, "a further anchor"))
    if event.answer == "elsewhere":
        return _anchor_elsewhere(field, state, event.name, _place(event, f"anchor {event.name}"))
    if not event.name or event.name in {seat.name for seat in field.seats}:
        return field, state, ("no move changes",)
    carrier = field.carrier(event.name).name
    if _is_out(field, state, carrier):
        return field, state, (f"anchor {carrier} is not in yet: no move changes, pull on it once it is",)
    if not can_be_pulled(field, state, carrier):
        return field, state, (f"no limb of anchor {carrier} hangs out any more to pull on it: no move changes",)
    untested = tuple(sorted({*state.untested, carrier}))
    return field, replace(state, untested=untested), (f"pull on anchor {carrier} again",)


def can_be_pulled(field: LimbField, state: LimbState, carrier: str) -> bool:
    """Whether a limb of an anchor still hangs out, so that the anchor can be pulled on."""
    limbs = [limb for s in field.sutures if s.carrier == carrier for limb in s.limbs]
    return any(state.limb(limb).stage in ("unpassed", "passed", "knotted") for limb in limbs)


def poor_tissue(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """The hole of a limb not yet passed goes elsewhere, or one more anchor goes in; else no move changes.

    Raises
    ------
    CaseError
        When the limb is passed already or has no hole, or the new place is not given.
    """
    if event.answer == "extra":
        return longer(field, state, _place(event, "a further anchor"))
    if event.answer != "elsewhere":
        return field, state, ("no move changes",)
    at, suture = _place(event, f"the hole of {event.name}"), field.suture(event.name)
    end = "front" if event.name == suture.limbs[0] else "back"
    if event.name not in suture.limbs or getattr(suture, end) is None:
        raise CaseError(f"{event.name} is no limb with a hole; name one of {' and '.join(suture.limbs)}")
    if state.limb(event.name).stage not in ("outside", "unpassed"):
        raise CaseError(f"limb {event.name} is passed already; take it back first, then choose another hole for it")
    moved = replace(suture, front=at) if end == "front" else replace(suture, back=at)
    sutures = tuple(moved if s.name == suture.name else s for s in field.sutures)
    return replace(field, sutures=sutures), state, (f"the hole of {event.name} moves to {at:g} mm",)


def vision_lost(field: LimbField, state: LimbState, event: Mishap) -> Changed:
    """The arthroscope goes to the portal named; without one no move changes.

    Raises
    ------
    CaseError
        When the portal may not view, is shut, or limbs hang out of it.
    """
    if not event.name:
        return field, state, ("no move changes: wait until the view is back",)
    portal = field.portal(event.name)
    if portal.name == state.scope:
        return field, state, (f"the arthroscope stays in the {portal.name} portal until the view is back",)
    if not (portal.views and portal.open) or state.hanging(portal.name):
        why = "limbs hang out of it" if state.hanging(portal.name) else "it is no open viewing portal"
        raise CaseError(f"the arthroscope cannot go to the {portal.name} portal: {why}; name another or clear it")
    return field, replace(state, scope=portal.name), (f"arthroscope to the {portal.name} portal",)


def _anchor_elsewhere(field: LimbField, state: LimbState, name: str, at: float) -> Changed:
    told = (f"anchor {name} goes in at {at:g} mm",)
    if name in {seat.name for seat in field.seats}:
        if name in state.seated:
            raise CaseError(f"lateral anchor {name} is in already; enter that it came out to put it elsewhere")
        seats = tuple(replace(s, at=at) if s.name == name else s for s in field.seats)
        return replace(field, seats=seats), state, told
    if not _is_out(field, state, field.carrier(name).name):
        raise CaseError(f"anchor {name} is in already; enter that it came out to put it elsewhere")
    carriers = tuple(replace(c, at=at, through=()) if c.name == name else c for c in field.carriers)
    return replace(field, carriers=carriers), state, told


def _is_out(field: LimbField, state: LimbState, carrier: str) -> bool:
    limbs = [limb for s in field.sutures if s.carrier == carrier for limb in s.limbs]
    return bool(limbs) and all(state.limb(limb).stage == "outside" for limb in limbs)


def _place(event: Mishap, what: str) -> float:
    if event.at is None:
        raise CaseError(f"{what} needs its place along the tear; enter it")
    return event.at
