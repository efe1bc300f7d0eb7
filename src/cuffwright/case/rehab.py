"""Rehabilitation after a repair: the surgeon's protocol, the published consensus beside it, and what may delay it."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from cuffwright.case.errors import CaseError

Step = Literal["sling ends", "passive motion", "active motion", "strengthening"]
STEPS: tuple[Step, ...] = ("sling ends", "passive motion", "active motion", "strengthening")


@dataclass(frozen=True)
class Stage:
    """One stage of a protocol: weeks after the operation, what is allowed, the surgeon's limits, when to go on."""

    name: str
    from_week: float
    to_week: float
    allowed: str
    elevation_degrees: float | None = None
    external_rotation_degrees: float | None = None
    criteria: tuple[str, ...] = ()


@dataclass(frozen=True)
class Protocol:
    """A protocol with its version: the weeks after the operation from which each step may begin, and its stages.

    Raises
    ------
    CaseError
        At birth, when a step is missing or a week is negative.
    """

    name: str
    version: str
    sling_ends_week: float
    passive_week: float
    active_week: float
    strengthening_week: float
    stages: tuple[Stage, ...] = ()
    format: int = 1

    def __post_init__(self) -> None:
        if not self.name.strip() or not self.version.strip():
            raise CaseError("the protocol has no name or no version; give both, so that a sheet can name them")
        if min(self.sling_ends_week, self.passive_week, self.active_week, self.strengthening_week) < 0:
            raise CaseError("a week of the protocol is below 0; count weeks from the operation")

    def week(self, step: Step) -> float:
        """The week from which a step may begin."""
        weeks = (self.sling_ends_week, self.passive_week, self.active_week, self.strengthening_week)
        return weeks[STEPS.index(step)]


@dataclass(frozen=True)
class Delay:
    """A step should not begin before ``week``: why, what it rests on, whether its source was read."""

    step: Step
    week: float
    words: str
    facts: tuple[str, ...]
    verified: bool


@dataclass(frozen=True)
class Milestone:
    """One step: its week in the surgeon's protocol (None without one), in the consensus, and after all delays.

    ``proposed_week`` is never earlier than the surgeon's own week. ``day`` needs the date of the operation.
    """

    step: Step
    own_week: float | None
    consensus_week: float
    proposed_week: float
    day: date | None
    delays: tuple[Delay, ...]


@dataclass(frozen=True)
class Release:
    """The surgeon's release of the sheets: by whom, when, and whether the proposed delays are taken over."""

    by: str
    day: date
    delays_taken: bool

    def __post_init__(self) -> None:
        if not self.by.strip():
            raise CaseError("a release needs to say by whom; give the surgeon's role or name")


@dataclass(frozen=True)
class RehabPlan:
    """A rehabilitation worked out; ``void`` says why nothing of it holds, empty where it does; a void
    plan has no milestones.

    ``uncertainty`` comes first wherever it is shown. ``bound`` is the share of a sound tendon's strength that animals
    had regained after so many weeks: an upper bound, unverified. ``arms`` are tensions at rest by position,
    ``returning`` is what is published on work and driving.
    """

    case: str
    side: str
    operation_date: date | None
    void: str
    uncertainty: tuple[str, ...]
    protocol: Protocol | None
    consensus: tuple[tuple[str, float, float], ...]
    milestones: tuple[Milestone, ...]
    cautions: tuple[str, ...]
    missing: tuple[str, ...]
    bound: tuple[tuple[float, float], ...]
    arms: tuple[str, ...]
    about: tuple[tuple[str, str], ...]
    criteria: tuple[str, ...]
    returning: tuple[str, ...]
    release: Release | None
    general: tuple[str, ...]
    facts: tuple[str, ...]
    unverified: tuple[str, ...]
    version: str
    edition: str

    def milestone(self, step: Step) -> Milestone:
        """The milestone of a step."""
        return next(one for one in self.milestones if one.step == step)
