"""What one repair will hold: the answer that page, command line, interface and print all carry."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.body import BodyHold
from cuffwright.case.contact import Contact, PressureMap
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Caution, Interval
from cuffwright.case.reach import USUAL, Approach
from cuffwright.case.tear import Grade

MemberKind = Literal["limb", "hole", "anchor"]


@dataclass(frozen=True)
class MemberLoad:
    """Load on one limb, hole or anchor (N): as tied, at the stated load, and what it can bear.

    ``first_share`` is the share of draws in which it gives way first; ``loaded`` is None where the load is not
    reached.
    """

    name: str
    kind: MemberKind
    tied: float
    loaded: Interval | None
    capacity: float
    first_share: float


@dataclass(frozen=True)
class ScenarioHold:
    """The answer for one grade of tissue and bone.

    ``ultimate`` includes the error of the model as measured on blind rows; ``ultimate_contested`` is its mean with
    the contested bridging factor. ``gap`` and the members' loads are over the draws that reach ``gap_load``, a share
    of ``reached_share``; None when most do not. ``gap_curve`` is load (N) against gap (mm) without scatter.
    ``stiffness`` is None when the repair is too weak for it. ``settled`` is False for an estimate made while
    something moves.
    """

    tissue: Grade
    bone: Grade
    ultimate: Interval
    ultimate_contested: float | None
    ultimate_no_scatter: float
    gap: Interval | None
    gap_load: float
    reached_share: float
    stiffness: Interval | None
    weakest: str
    members: tuple[MemberLoad, ...]
    failure_shares: tuple[tuple[str, float], ...]
    gap_curve: tuple[tuple[float, float], ...]
    settled: bool


@dataclass(frozen=True)
class HoldResult:
    """A whole answer with all it rests on.

    ``facts`` are the keys of the rows used; ``inputs`` the measurements by path; ``input_hash`` names the exact
    inputs, seed, version and evidence edition, so that a stale answer can be told. ``verdict_parts`` is the verdict
    cut into words and the names under which its numbers can be asked ("" when they cannot). ``body`` is worked out
    with a settled answer only.
    """

    case: str
    side: str
    layout: Layout
    strip: TendonStrip
    scenarios: tuple[ScenarioHold, ...]
    contact: Contact
    contact_loaded: Contact | None
    pressure: PressureMap
    cautions: tuple[Caution, ...]
    verdict: str
    inputs: tuple[tuple[str, Measurement], ...]
    missing: tuple[str, ...]
    facts: tuple[str, ...]
    draws: int
    seed: int
    version: str
    edition: str
    input_hash: str
    verdict_parts: tuple[tuple[str, str], ...] = ()
    body: BodyHold | None = None
    approach: Approach = USUAL
