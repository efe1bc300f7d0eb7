"""What the laboratory's pull leaves out: reach of the torn edge, the arm, cycles, lost tension, the junction."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.contact import Contact
from cuffwright.case.quantity import Interval

ReachVerdict = Literal["reducible", "caution", "high", "not-directly"]
Remedy = Literal["release", "side-to-side"]


@dataclass(frozen=True)
class Reduction:
    """Bringing the torn edge to its target with the arm at the side.

    ``force`` (N) is the passive tension of the muscle; ``turn_degrees`` the turn of the tendon that takes the straight
    part of the retraction, ``bend`` (mm per mm) the steepest slope of the rest. The layout itself brings edge and
    target ``nearer`` mm and closes ``closed`` mm of the cleft side to side. ``torn_at`` (N) is the tension that a
    study connects with torn repairs, ``over_high`` the share of draws above it.
    """

    force: Interval
    turn_degrees: float
    bend: float
    nearer: float
    closed: float
    torn_at: float
    over_high: float
    verdict: ReachVerdict
    words: str


@dataclass(frozen=True)
class Relief:
    """How many mm of one remedy bring the edge to bone without a flag; None when all that was tried does not."""

    remedy: Remedy
    needed: float | None
    tried: float
    words: str


@dataclass(frozen=True)
class ArmLoad:
    """What the repair bears at rest with the arm held so: passive ``tension`` (N) alone.

    ``abduction_degrees`` and ``rotation_degrees`` (outward above 0) say how. ``gap`` (mm) is that of a tendon without
    neighbours; ``used`` the share of its strength that the ``most_used`` member gives; both None where the upper end
    of the tension is not borne. ``contact_area_share`` is the pressed share of the footprint, the tendon's own pull
    round the bone included, None where the contact model must not answer.
    """

    abduction_degrees: float
    rotation_degrees: float
    tension: Interval
    gap: Interval | None
    used: Interval | None
    most_used: str
    contact_area_share: float | None


@dataclass(frozen=True)
class CyclicGap:
    """Gap (mm) at ``load`` newtons after each of ``counts`` pulls; None from where the repair gave way at ``lost``.

    ``final`` is the gap after the last of them with the model's error as its spread.
    """

    load: float
    counts: tuple[int, ...]
    gaps: tuple[float | None, ...]
    final: Interval | None
    lost: str | None


@dataclass(frozen=True)
class JunctionShare:
    """How often repairs fail at the musculotendinous junction with a limb ``distance`` mm lateral of it."""

    limb: str
    distance: float
    share: Interval


@dataclass(frozen=True)
class LaterContact:
    """Contact ``minutes`` after fixation, when ``left`` (a share) of each suture's tension is left."""

    minutes: float
    left: float
    contact: Contact


@dataclass(frozen=True)
class BodyHold:
    """The repair in the body and over time, for one grade of ``tissue`` and ``bone``; what lacks is in ``missing``.

    Of each newton the muscle adds, up to the stated load, the sutures carry ``carried_share`` where intact
    neighbours hold the sides of the torn part as firmly as sound tendon; 1 where it has none. ``sentences`` say all of
    it, each with the name under which it can be asked.
    """

    tissue: str
    bone: str
    reduction: Reduction | None
    reliefs: tuple[Relief, ...]
    arms: tuple[ArmLoad, ...]
    carried_share: float
    cycles: CyclicGap | None
    junction: JunctionShare | None
    later: LaterContact | None
    missing: tuple[str, ...]
    sentences: tuple[tuple[str, str], ...] = ()
