"""The planner: the shortest order of work from any state, in words, with its certificate."""

from dataclasses import replace

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Certificate, LimbPlan
from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.limbs.certify import certify
from cuffwright.limbs.coding import Board
from cuffwright.limbs.counts import Minutes, count
from cuffwright.limbs.judge import apply
from cuffwright.limbs.obstacle import obstacle
from cuffwright.limbs.phases import phase_rows
from cuffwright.limbs.search import BUDGET, Found
from cuffwright.limbs.servers import found_from
from cuffwright.limbs.under import laid
from cuffwright.limbs.words import Arm, steps

NO_LOG = Minutes(needs="minutes logged at this site")
"""What a time estimate needs before anything is logged."""


def make_plan(
    field: LimbField,
    state: LimbState,
    *,
    arm: Arm = lambda _: "",
    minutes: Minutes = NO_LOG,
    budget: int = BUDGET,
) -> LimbPlan:
    """Plan from ``state`` to the end.

    ``budget`` is how many states the search may look at, see ``search``.

    Raises
    ------
    CaseError
        When there is no legal order of work, with the cause by name.
    """
    board = Board(field)
    tests = tuple(Move("test", anchor=name) for name in state.untested)
    s = board.coded(state)
    reason = obstacle(board, s)
    if reason:
        raise CaseError(f"no order of work: {reason}")
    back = tuple(_taken_back(field, state, name) for name in state.astray)
    begun = state
    for move in back:
        begun = apply(field, begun, move)
    found = found_from(field, begun, budget)
    if found is None:
        raise CaseError(
            "no order of work was found among the states looked at; more room in the portals, another set of portals"
            " or a softer order of passing may give one"
        )
    moves = (*tests, *back, *laid(board, begun, found.moves))
    found = replace(found, bound=found.bound + len(back))
    certificate = _certified(field, replace(state, untested=()), moves, found, len(tests))
    listed = steps(field, state, moves, arm)
    estimate = minutes.of(moves)
    return LimbPlan(
        moves=moves,
        steps=listed,
        phases=phase_rows(field, listed),
        counts=count(field, state, moves),
        certificate=certificate,
        minutes=estimate,
        minutes_needs="" if estimate is not None else minutes.needs or "minutes of every kind of move in this plan",
        cautions=_cautions(field, certificate),
    )


def _taken_back(field: LimbField, state: LimbState, limb: str) -> Move:
    """A limb out of the hole of another, to the portal it hangs out of or, once that is closed, to one with room."""
    place = state.limb(limb).place
    rooms = (p for p in field.portals if p.open and p.name != state.scope and len(state.hanging(p.name)) < p.capacity)
    to = place if field.portal(place).open else next((p.name for p in rooms), "")
    if not to:
        raise CaseError(f"no order of work: limb {limb} is to be taken back, and no open portal has room for it")
    return Move("unpass", (limb,), place, to)


def _certified(field: LimbField, state: LimbState, moves: tuple[Move, ...], found: Found, tests: int) -> Certificate:
    replay = certify(field, state, moves)
    tangles = [t for t in replay.trouble if any(word in t for word in ("captures", "pins", "in a ring"))]
    open_ends = [t for t in replay.trouble if "not brought to an end" in t]
    count_ = len(moves) - tests
    return Certificate(
        legal=len(tangles) + len(open_ends) == len(replay.trouble),
        complete=not open_ends,
        tangle_free=not tangles and not state.suspect,
        moves=count_,
        bound=found.bound,
        proof=found.proof,
        gap=count_ - found.bound if found.proof == "gap" else 0,
        preferences_proven=found.preferred,
        expanded=found.expanded,
        ties=tuple(replay.ties),
        trouble=tuple(replay.trouble),
    )


def _cautions(field: LimbField, certificate: Certificate) -> tuple[str, ...]:
    found = ["A clean certificate means no tangle if the instruments go where the list says, not that there is none."]
    if any(s.look is None for s in field.sutures):
        found.append("Thread looks are not known until the implants are opened; limbs are named by label only.")
    if certificate.trouble:
        found += [f"Trouble: {t}" for t in certificate.trouble]
    return tuple(found)
