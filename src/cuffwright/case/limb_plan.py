"""What is said of limbs: findings, steps, phases, counts, the certificate, the plan, and a mishap with its new plan."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.case.reach import Compartment

Severity = Literal["illegal", "risk", "note"]
Proof = Literal["bound", "search", "gap"]
Phase = Literal["anchor", "pass", "view", "tie", "lateral", "correct"]
MishapKind = Literal[
    "anchor out",
    "suture unloaded",
    "suture broke",
    "knot failed",
    "tear longer",
    "portal unusable",
    "cannula lost",
    "wrong limb",
    "soft bone",
    "poor tissue",
    "vision lost",
]


@dataclass(frozen=True)
class Finding:
    """What the judge says of one move: rule, severity, the limbs it is about, why, and what to do."""

    rule: str
    severity: Severity
    text: str
    remedy: str = ""
    limbs: tuple[str, ...] = ()
    step: int = 0


@dataclass(frozen=True)
class LimbStep:
    """One step of a plan: its number, the move, its words, where arthroscope and arm stand, what is parked after it."""

    number: int
    phase: Phase
    move: Move
    words: str
    limbs: tuple[str, ...]
    looks: tuple[str, ...]
    source: str
    to: str
    scope: str
    compartment: Compartment
    arm: str
    parked: tuple[tuple[str, tuple[str, ...]], ...]
    caution: str = ""


@dataclass(frozen=True)
class PhaseRow:
    """One row of the phase card: what, the limbs, portals, the arthroscope's portal, and the step it begins with."""

    first: int
    last: int
    what: str
    limbs: str
    portals: str
    scope: str


@dataclass(frozen=True)
class LimbCounts:
    """What a list of moves costs, counted."""

    moves: int
    retrievals: int
    shuttles: int
    passes: int
    knots: int
    cuts: int
    seats: int
    scope_moves: int
    most_parked: int
    limb_steps: int
    crossings: int
    pulls: int


@dataclass(frozen=True)
class Certificate:
    """What was proven of a plan.

    ``bound`` is the least number of moves by counting; ``proof`` says whether the plan meets it, was shown shortest by
    search, or stands ``gap`` above it. ``tangle`` lists each tie with how the other limbs lie to it.
    """

    legal: bool
    complete: bool
    tangle_free: bool
    moves: int
    bound: int
    proof: Proof
    gap: int
    preferences_proven: bool
    expanded: int
    ties: tuple[tuple[int, str, str], ...] = ()
    trouble: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The certificate as one sentence."""
        if self.proof == "gap":
            short = f"at most {self.gap} above the least possible ({self.bound})"
        else:
            short = f"shortest, proven by {'counting' if self.proof == 'bound' else 'search'}"
        clean = "no tangle if instruments go where the list says" if self.tangle_free else "not free of tangles"
        return f"{self.moves} moves, {short}; {clean}."


@dataclass(frozen=True)
class LimbPlan:
    """A plan from a state to the end: its moves, the steps in words, counts and certificate."""

    moves: tuple[Move, ...]
    steps: tuple[LimbStep, ...]
    phases: tuple[PhaseRow, ...]
    counts: LimbCounts
    certificate: Certificate
    minutes: float | None = None
    minutes_needs: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Mishap:
    """Something that went wrong: what it befell, and the surgeon's answer to it.

    ``answer`` is for a suture unloaded ``rethread``, ``drop`` or ``rescue``; for a wrong limb ``accept`` or ``unpass``;
    for soft bone and poor tissue ``elsewhere``, ``extra``, or nothing to go on as planned.
    ``at`` is where something new goes, chart u in mm; None for none. ``limb`` is the limb passed through the hole of
    ``name`` by mistake. Lost vision names the portal the arthroscope goes to, or none.
    """

    kind: MishapKind
    name: str
    answer: str = ""
    at: float | None = None
    limb: str = ""


@dataclass(frozen=True)
class Replanned:
    """What stands after a mishap: the changed field and state, the new plan, and what changed, in words."""

    field: LimbField
    state: LimbState
    plan: LimbPlan
    changes: tuple[str, ...] = ()
