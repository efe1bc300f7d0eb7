"""What access found, as values the other layers read: portals, arm positions, what is reached from where, margins.

Nothing here carries a side except points, which are given on the case's own shoulder in the frame of its scapula:
X forward, Y up the glenoid, Z along the glenoid's normal (lateral on a right shoulder, and its mirror on a left).
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import UNVERIFIED, Provenance
from cuffwright.case.identity import Side
from cuffwright.case.quantity import Caution, Interval
from cuffwright.case.shoulder import Landmark

HALF_TURN = 180.0
"""Numerical choice: swinging the arm this far (degrees) weighs as much as the whole probability of a reach."""

Answer = Literal["yes", "moved", "no"]
"""In reach at this arm position; only with the arm moved; from nowhere tried."""

SiteKind = Literal["medial anchor", "lateral anchor", "hole"]
Compartment = Literal["subacromial", "joint"]
Point = tuple[float, float, float]


@dataclass(frozen=True)
class Pose:
    """An arm position: abduction and flexion of the arm to the scapula, rotation (outwards above 0), degrees; kg.

    ``place`` names how the patient lies; it changes nothing in the geometry.

    Raises
    ------
    CaseError
        At birth, when an angle or the traction is not finite, or the traction below 0.
    """

    abduction_degrees: float
    flexion_degrees: float = 0.0
    rotation_degrees: float = 0.0
    traction_kg: float = 0.0
    place: Literal["beach chair", "lateral decubitus"] = "beach chair"

    def __post_init__(self) -> None:
        angles = (self.abduction_degrees, self.flexion_degrees, self.rotation_degrees)
        if not all(math.isfinite(x) for x in (*angles, self.traction_kg)) or self.traction_kg < 0:
            raise CaseError(f"the arm position {self} is impossible; give angles in degrees and traction of 0 or more")

    @property
    def words(self) -> str:
        """The position as spoken."""
        turn = self.rotation_degrees
        rotation = "neutral rotation" if turn == 0 else f"{abs(turn):g} degrees {'outer' if turn > 0 else 'inner'}"
        flexion = f", {self.flexion_degrees:g} flexion" if self.flexion_degrees else ""
        pull = f", {self.traction_kg:g} kg traction" if self.traction_kg else ""
        suffix = " rotation" if turn else ""
        return f"{self.abduction_degrees:g} degrees abduction{flexion}, {rotation}{suffix}{pull}"


@dataclass(frozen=True)
class PortalPlace:
    """Where a portal is meant: by the trade's landmark distances, each editable, with its own error (mm).

    For a portal off the acromion's lateral edge ``along`` is the share of the edge from its front corner and
    ``down`` how far below it, or ``beside`` how far outwards of it the skin is pierced; for the others ``down``,
    ``medial`` and ``behind`` are distances from the landmark of that portal. ``fixed`` portals are not moved when
    better places are looked for.
    """

    name: str
    along: float | None = None
    down: float = 0.0
    beside: float = 0.0
    medial: float = 0.0
    behind: float = 0.0
    error: float = 0.0
    fixed: bool = False

    def __post_init__(self) -> None:
        if self.along is not None and not 0 <= self.along <= 1:
            raise CaseError(f"the {self.name} portal must lie along the edge between 0 (front) and 1 (back)")
        if not all(math.isfinite(x) for x in (self.down, self.beside, self.medial, self.behind)) or not self.error >= 0:
            raise CaseError(f"the {self.name} portal has a distance that is no number; measure it again")


@dataclass(frozen=True)
class PortalMark:
    """A portal for the marking pen: distances in cm from named landmarks, its skin point, and how it is made."""

    name: str
    distances: tuple[tuple[str, float], ...]
    skin: Point
    confirm: str
    provenance: tuple[tuple[str, Provenance], ...]

    @property
    def verified(self) -> bool:
        """Whether every distance of it was read in a publication; memory never goes on a patient's sheet."""
        return all(word not in {"memory", "assumed"} for _, word in self.provenance)


@dataclass(frozen=True)
class Reach:
    """One site from one portal.

    ``angle_degrees`` is the path's angle above the bone or tendon (90 square to it), ``length`` skin to site (mm),
    ``room`` bone left beyond the anchor's tip (mm, None for holes), ``pose`` the arm position the answer speaks of,
    ``probability`` the share of drawn shoulders and placements in which it holds there; ``reason`` why not. Where it
    is reached, ``through`` says what the instrument passes and ``shaft`` how long it must be (mm).
    """

    site: str
    kind: SiteKind
    portal: str
    answer: Answer
    pose: Pose
    angle_degrees: float
    length: float
    room: float | None
    probability: float
    reason: str = ""
    means: str = ""
    through: str = ""
    shaft: float | None = None

    @property
    def words(self) -> str:
        """The answer as one sentence."""
        chance = f"{self.probability:.0%} of drawn shoulders"
        if self.answer == "yes":
            return f"{self.site} from {self.portal}: yes at this arm position ({chance})"
        if self.answer == "no":
            return f"{self.site} from {self.portal}: no, because {self.reason}"
        return f"{self.site} from {self.portal}: only with the arm at {self.pose.words} ({chance})"


@dataclass(frozen=True)
class Approach:
    """How the shoulder is come at: the arm position set (None: the usual beach chair) and the portals moved."""

    arm: Pose | None = None
    portals: tuple[PortalPlace, ...] = ()


USUAL = Approach()
"""Nothing set: usual beach chair, portals at their usual places."""


@dataclass(frozen=True)
class SiteReach:
    """The best way to one site, without chances: what other parts of a plan need to know of reach.

    ``pose`` is the arm position in which it is reached, ``standing`` the one that was asked about.
    """

    site: str
    kind: SiteKind
    answer: Answer
    portal: str
    pose: Pose
    standing: Pose
    reason: str = ""


@dataclass(frozen=True)
class Instrument:
    """A length the answer counts with (mm): its name, the row it stands in, and what that rests on."""

    name: str
    length: float
    fact: str
    provenance: Provenance

    @property
    def words(self) -> str:
        """The length as spoken, unverified ones marked."""
        sure = f", {self.provenance}: unverified" if self.provenance in UNVERIFIED else ""
        return f"{self.name} {self.length:g} mm{sure}"


@dataclass(frozen=True)
class AnchorAxis:
    """The axis of an anchor as placed through its best portal: chart point, unit direction into the bone.

    ``along`` holds the direction's parts along u (as far as square to v), along v and out of the bone (below 0: into).
    """

    anchor: str
    portal: str
    along: Point
    angle_degrees: float


@dataclass(frozen=True)
class BedMeeting:
    """An anchor bed, another bed, cyst or earlier anchor, and the bone between (mm); below the rule they meet."""

    first: str
    second: str
    bridge: float
    clear: bool


@dataclass(frozen=True)
class Sight:
    """What one arthroscope sees from one portal in one compartment: names of the sites in view and out of it."""

    portal: str
    scope_degrees: float
    compartment: Compartment
    seen: tuple[str, ...]
    hidden: tuple[str, ...]


@dataclass(frozen=True)
class NerveMargin:
    """Distance of a portal's path from a nerve over drawn shoulders (mm): middle with spread, 5th percentile, floor.

    ``floor`` is the distance with the shortest nerve distance ever published.
    """

    portal: str
    nerve: str
    margin: Interval
    fifth: float
    floor: float


@dataclass(frozen=True)
class ArmMove:
    """An arm position and the sites worked on there, each with the portal it is reached from."""

    pose: Pose
    steps: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class BetterPlace:
    """A better place for a free portal within its latitude, and what is gained: sites in reach before and after."""

    portal: str
    place: PortalPlace
    before: int
    after: int
    angle_before: float
    angle_after: float


@dataclass(frozen=True)
class HiddenFootprint:
    """Share of the footprint's area under the acromion at this arm position, and the sites that lie there."""

    share: float
    sites: tuple[str, ...]


@dataclass(frozen=True)
class AccessResult:
    """Everything access found for one repair of one case."""

    case: str
    side: Side
    pattern: str
    pose: Pose
    portals: tuple[PortalMark, ...]
    reaches: tuple[Reach, ...]
    axes: tuple[AnchorAxis, ...]
    beds: tuple[BedMeeting, ...]
    hidden: HiddenFootprint
    sights: tuple[Sight, ...]
    margins: tuple[NerveMargin, ...]
    moves: tuple[ArmMove, ...]
    unreached: tuple[str, ...]
    better: tuple[BetterPlace, ...]
    cautions: tuple[Caution, ...]
    spread: tuple[tuple[str, float], ...]
    facts: tuple[str, ...]
    draws: int
    seed: int
    version: str
    edition: str
    input_hash: str = ""
    landmarks: tuple[Landmark, ...] = field(default=())
    instruments: tuple[Instrument, ...] = ()

    def best(self, site: str) -> Reach:
        """The way to ``site`` to plan with: yes before moved before no, likely before unlikely, the arm moved little.

        Raises
        ------
        CaseError
            When the repair has no such site.
        """
        ways = [reach for reach in self.reaches if reach.site == site]
        if not ways:
            raise CaseError(f"there is no site {site} in this repair")
        return best_way(ways, self.pose)


def best_way(ways: Iterable[Reach], standing: Pose) -> Reach:
    """Of several ways to one site the one to plan with; a chance that is not drawn yet counts as none."""
    order = {"yes": 2, "moved": 1, "no": 0}

    def merit(way: Reach) -> tuple[int, float, float]:
        swing = abs(way.pose.abduction_degrees - standing.abduction_degrees)
        swing += abs(way.pose.rotation_degrees - standing.rotation_degrees)
        chance = 0.0 if math.isnan(way.probability) else way.probability
        return order[way.answer], chance - swing / HALF_TURN, way.angle_degrees

    return max(ways, key=merit)
