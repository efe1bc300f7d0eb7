"""Where the limbs are by the log of an operation, and the plan made anew from there after a mishap.

A step left is taken as its move made, for planning only: it affirms nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cuffwright.case.entry import Kept, MishapEntered, Replanned, StepLeft
from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Layout
from cuffwright.case.limb_plan import LimbPlan, Mishap
from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.case.operation import LimbsFollowed, OperationStep
from cuffwright.course.relaid import less_removed, relaid
from cuffwright.limbs.checking import followed
from cuffwright.limbs.felt import can_be_pulled
from cuffwright.limbs.mishaps import befallen
from cuffwright.limbs.planning import make_plan
from cuffwright.limbs.search import BUDGET
from cuffwright.theatre import Operation
from cuffwright.theatre.middle import AT_ONCE, move_keys, replanned_steps

DOUBT = "this cannot have been made so; count the limbs of every portal"
"""Said of a step that was left and whose move cannot have been made as planned."""


@dataclass(frozen=True)
class LimbsNow:
    """Where the limbs are by the log.

    ``laid`` is everything ever laid, ``layout`` what of it is left.
    ``because`` are the mishaps that were followed, by number; ``refused`` those that could not be, each with why;
    ``doubts`` the steps left that cannot have been made as planned. ``changes`` says what each of ``because``
    changed; ``waits`` that the plan theatre follows does not begin from here.
    """

    field: LimbField
    state: LimbState
    laid: Layout
    because: tuple[int, ...] = ()
    refused: tuple[tuple[int, str], ...] = ()
    doubts: tuple[tuple[int, str], ...] = ()
    changes: tuple[str, ...] = ()
    waits: bool = False

    @property
    def layout(self) -> Layout:
        """The repair less the sutures that are removed."""
        return less_removed(self.laid, self.state)


def limbs_now(operation: Operation) -> LimbsNow | None:
    """Where the limbs are, or None when theatre follows no plan of limbs."""
    base = operation.from_repair
    if base is None or base.limbs is None or base.layout is None:
        return None
    since = max([0, *(k.seq for k, e in operation.of(Replanned) if e.made == "in repair")])
    last = next((k for k, e in reversed(operation.of(Replanned)) if e.made == "in theatre" and k.seq > since), None)
    moves = moves_of(operation)
    titles = {key: step.title for key, step in operation.every_step.items()}
    here = LimbsNow(base.limbs.field, base.limbs.state, base.layout)
    for kept in _bearing(operation, moves, since):
        here = _followed(here, kept, moves, titles, fresh=last is None or kept.seq > last.seq)
    return replace(here, waits=(here.field, here.state) != _by_plan(operation, moves))


def moves_of(operation: Operation) -> dict[str, Move]:
    """The move of every step of every plan of limbs that theatre ever followed, by the key of the step."""
    found: dict[str, Move] = {}
    for kept in operation.entries:
        limbs = getattr(kept.entry, "limbs", None)
        if isinstance(limbs, LimbsFollowed):
            found |= limbs.moves
    return found


def keys_for(operation: Operation, moves: Sequence[Move]) -> tuple[str, ...]:
    """The keys of the steps of a plan that comes from Repair: a move made already keeps the key under which it was."""
    known = moves_of(operation)
    behind = [key for key in operation.left if key in known]
    number = 2 + sum(isinstance(kept.entry, Replanned) for kept in operation.entries)
    found: list[str] = []
    for place, move in enumerate(moves, 1):
        made = next((key for key in behind if key not in found and known[key] == move), None)
        plain = f"limb move {place}"
        free = known.get(plain) in (None, move) and plain not in (*behind, *found)
        found.append(made or (plain if free else f"plan {number} {plain}"))
    return tuple(found)


def planned_anew(operation: Operation, reason: str, *, budget: int = BUDGET) -> Replanned | None:
    """The plan from where the limbs are, to be followed from here on; None when the one followed begins there.

    ``budget`` is how many states the search may look at.

    Raises
    ------
    CaseError
        When theatre follows no plan of limbs, a mishap cannot have befallen what it names, or no order of work is left.
    """
    here, opening = limbs_now(operation), operation.opening
    if here is None or opening is None or opening.limbs is None:
        raise CaseError("theatre follows no plan of limbs, so none is made anew; go on by the layout")
    if not here.waits:
        if here.refused:
            raise CaseError(f"not planned anew: {here.refused[-1][1]}")
        return None
    arms = dict(opening.limbs.arms)
    plan = make_plan(here.field, here.state, arm=lambda site: arms.get(site, ""), budget=budget)
    name = f"plan {2 + sum(isinstance(kept.entry, Replanned) for kept in operation.entries)}"
    first, behind = _at_once(operation, here, name), operation.left
    steps = replanned_steps(opening.steps, behind, here.layout, plan.steps, name, first)
    moves = tuple(zip(move_keys(name, plan.steps), plan.moves, strict=True))
    return Replanned(
        reason=reason,
        steps=steps,
        layout=here.layout,
        strip=opening.strip,
        made="in theatre",
        limbs=LimbsFollowed(here.field, here.state, moves, opening.limbs.arms),
        because=here.because,
        changes=_told(here),
        first=first.key if first else next((key for key, _ in moves), ""),
        words=_words(plan),
    )


def _words(plan: LimbPlan) -> str:
    return plan.certificate.words if plan.moves else "No move is left."


def _told(here: LimbsNow) -> tuple[str, ...]:
    """What changed, what is in doubt, and what was entered and could not be followed."""
    return (
        *here.changes,
        *(why for _, why in here.doubts),
        *(f"not taken into the plan: {why}" for _, why in here.refused),
    )


def _at_once(operation: Operation, here: LimbsNow, name: str) -> OperationStep | None:
    """The step before the first move: what is to be taken out or looked at; one line for every suture that goes."""
    plans = [operation.from_repair, *(entry for _, entry in operation.of(Replanned) if entry.made == "in theatre")]
    limbs = [hole.name for plan in plans if plan and plan.layout for hole in plan.layout.holes]
    left = {hole.name[:-1] for hole in here.layout.holes}
    gone = [suture for suture in dict.fromkeys(limb[:-1] for limb in limbs) if suture not in left]
    words = "; ".join(_told(here)) or "; ".join(f"suture {suture} is removed" for suture in gone)
    if not words:
        return None
    portals = [portal.name for portal in here.field.portals]
    return OperationStep(
        key=f"{name} {AT_ONCE}",
        title="Planned anew from here",
        words=f"{words}.",
        lines=tuple(f"removed {suture}" for suture in gone),
        parked=tuple((portal, here.state.hanging(portal)) for portal in portals if here.state.hanging(portal)),
        scope=here.state.scope,
    )


def _bearing(operation: Operation, moves: dict[str, Move], since: int) -> Iterator[Kept]:
    """The entries that move limbs: every first leaving of a move's step, and mishaps since the plan from Repair."""
    seen: set[str] = set()
    for kept in operation.entries:
        entry = kept.entry
        if kept.seq in operation.withdrawn:
            continue
        if isinstance(entry, StepLeft) and entry.step in moves and entry.step not in seen:
            seen.add(entry.step)
            if kept.seq > since or _still(operation, entry.step):
                yield kept
        elif isinstance(entry, MishapEntered) and entry.kind != "something else" and kept.seq > since:
            yield kept


def _still(operation: Operation, key: str) -> bool:
    """Whether a step left before the plan from Repair is a step of that plan too."""
    base = operation.from_repair
    return base is not None and base.limbs is not None and key in dict(base.limbs.moves)


def _followed(here: LimbsNow, kept: Kept, moves: dict[str, Move], titles: dict[str, str], *, fresh: bool) -> LimbsNow:
    entry = kept.entry
    if isinstance(entry, StepLeft):
        state, made = _made(here.field, here.state, moves[entry.step])
        doubts = here.doubts
        if not made and fresh:
            doubts = (*doubts, (kept.seq, f"{titles[entry.step]}: {DOUBT}"))
        return replace(here, state=state, doubts=doubts)
    if not isinstance(entry, MishapEntered) or entry.kind == "something else":
        return here
    event = Mishap(entry.kind, entry.name.strip(), entry.choice, entry.at, entry.limb.strip())
    try:
        field, state, changes = befallen(here.field, here.state, event)
    except CaseError as wrong:
        return replace(here, refused=(*here.refused, (kept.seq, str(wrong)))) if fresh else here
    here = replace(here, field=field, state=state, laid=relaid(here.laid, here.field, field))
    if not fresh:
        return here
    return replace(here, because=(*here.because, kept.seq), changes=(*here.changes, "; ".join(changes)))


def _made(field: LimbField, state: LimbState, move: Move) -> tuple[LimbState, bool]:
    """The state after a move as made, and whether it can have been; an impossible one changes nothing."""
    limbs = {limb for suture in field.sutures for limb in suture.limbs}
    anchors = {carrier.name for carrier in field.carriers} | {seat.name for seat in field.seats} | {""}
    if not limbs >= {*move.limbs, *move.under} or move.anchor not in anchors:
        return state, False
    found = followed(field, state, (move,))
    left = tuple(a for a in found.state.untested if can_be_pulled(field, found.state, a))
    return replace(found.state, untested=left), not found.census


def _by_plan(operation: Operation, moves: dict[str, Move]) -> tuple[LimbField, LimbState] | None:
    """Where the limbs would be by the plan that theatre follows alone."""
    opening = operation.opening
    if opening is None or opening.limbs is None:
        return None
    own = dict(opening.limbs.moves)
    state = opening.limbs.state
    for key in operation.left:
        if key in own:
            state, _ = _made(opening.limbs.field, state, moves[key])
    return opening.limbs.field, state
