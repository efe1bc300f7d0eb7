"""Moves in the words of the theatre."""

from collections.abc import Callable, Sequence

from cuffwright.case.limb_plan import LimbStep, Phase
from cuffwright.case.limbs import LimbField, LimbState, Move, MoveKind
from cuffwright.limbs.coding import Board
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.judge import apply, judge

PHASES: dict[MoveKind, Phase] = {
    "insert": "anchor",
    "test": "anchor",
    "pass": "pass",
    "penetrate": "pass",
    "tie": "tie",
    "cut": "tie",
    "seat": "lateral",
}
"""The phase of the moves that say it themselves; a retrieval belongs to the next of these."""

UNKNOWN_LOOK = "look not known"
"""Said of a thread whose implant is not opened."""

Arm = Callable[[str], str]
"""The arm position for a site by its name; ``""`` where none is known."""


def shortened(limbs: Sequence[str]) -> tuple[str, ...]:
    """Limb names with both limbs of a suture said as one, such as ``1a`` for 1aF and 1aB."""
    found: list[str] = []
    for limb in limbs:
        mate = limb[:-1] + ("B" if limb.endswith("F") else "F")
        name = limb[:-1] if mate in limbs else limb
        if name not in found:
            found.append(name)
    return tuple(found)


def said(field: LimbField, move: Move) -> str:
    """One move in words."""
    names = " and ".join(shortened(move.limbs)) if len(move.limbs) < 4 else ", ".join(shortened(move.limbs))
    source, to = (f"{p} portal" if p else "" for p in (move.source, move.to))
    under = f", under {', '.join(shortened(move.under))}, over all others" if move.under else ""
    match move.kind:
        case "insert":
            kind = field.carrier(move.anchor).kind
            verb = {"anchor": "Insert anchor", "tunnel": "Make tunnel", "free suture": "Bring in suture"}[kind]
            tail = "; pull on it" if kind == "anchor" else ""
            return f"{verb} {move.anchor} through the {to}{tail}"
        case "test":
            return f"Pull on anchor {move.anchor}"
        case "retrieve":
            word = " together" if len(shortened(move.limbs)) < len(move.limbs) else ""
            return f"Retrieve {names}{word} from the {source} to the {to}{under}"
        case "pass":
            handed = f", handed to the grasper in the {to}" if move.to != move.source else ", brought back"
            return f"Pass {names} from the {source}{handed}{under}"
        case "penetrate":
            return f"Pierce for {names} from the {to}{under}"
        case "tie":
            sliding = field.suture(move.limbs[0]).slides
            knot = "sliding knot" if sliding else "knot that does not slide"
            return f"Tie {names} in the {to}: {knot}, at least {field.hitches} half hitches"
        case "cut":
            return f"Cut {names}"
        case "scope":
            return f"Arthroscope to the {to}, {move.compartment} space"
        case "seat":
            return f"Seat lateral anchor {move.anchor} through the {to} with {names}"
        case "unpass":
            return f"Take {names} back out of its hole to the {to}"
        case "cannula":
            return f"Place the working cannula in the {to}"


def site_of(move: Move) -> str:
    """The site of the layout at which a move works; ``""`` for none."""
    if move.kind in ("insert", "seat", "test"):
        return move.anchor
    return move.limbs[0] if move.kind in ("pass", "penetrate") else ""


def caution(field: LimbField, move: Move) -> str:
    """What to look at with this move."""
    match move.kind:
        case "insert" if field.carrier(move.anchor).kind == "anchor":
            return "pull test"
        case "pass" | "penetrate":
            return "nothing else in the cannula" if move.kind == "pass" else "watch the tip"
        case "retrieve" if move.under:
            return f"under {' '.join(shortened(move.under))}"
        case "tie":
            return "pair alone, one grasp, pusher down one limb, no twist"
        case "seat":
            return "all limbs tight before it is seated"
    return ""


def steps(field: LimbField, state: LimbState, moves: Sequence[Move], arm: Arm = lambda _: "") -> tuple[LimbStep, ...]:
    """The moves as numbered steps, with what is parked where after each."""
    found, board, pose = [], Board(field), ""
    diagram = Diagram(board)
    for number, move in enumerate(moves, 1):
        warned = [f.text for f in judge(field, state, move, diagram) if f.severity == "risk"]
        state = apply(field, state, move, diagram)
        coming = [m.kind for m in moves[number - 1 :]]
        pose = arm(site_of(move)) or pose
        looks = {name: field.suture(name).look for name in shortened(move.limbs)}
        found.append(
            LimbStep(
                number=number,
                phase=_phase(coming),
                move=move,
                words=said(field, move),
                limbs=move.limbs,
                looks=tuple(f"{n}: {look.words if look else UNKNOWN_LOOK}" for n, look in looks.items()),
                source=move.source,
                to=move.to,
                scope=state.scope,
                compartment=state.compartment,
                arm=pose,
                parked=tuple((p, state.hanging(p)) for p in board.portals if state.hanging(p)),
                caution="; ".join(x for x in (caution(field, move), *warned) if x),
            )
        )
    return tuple(found)


def _phase(coming: Sequence[MoveKind]) -> Phase:
    if coming[0] in ("scope", "cannula"):
        return "view"
    if coming[0] == "unpass":
        return "correct"
    return next((PHASES[kind] for kind in coming if kind in PHASES), "correct")
