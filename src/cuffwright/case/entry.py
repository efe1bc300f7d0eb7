"""What is entered in theatre and for the record: each entry whole, in the order in which it was kept.

An entry is never changed or taken away; :class:`Withdrawn` adds that an earlier one does not hold.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from cuffwright.case.implant import ImplantLabel
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.case.operation import LimbsFollowed, OperationStep, OperationTemplate

MishapWord = Literal[
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
    "something else",
]

MishapChoice = Literal["", "rethread", "drop", "rescue", "accept", "unpass", "elsewhere", "extra"]

Terrain = tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
"""Named lines of the footprint chart, (u, v) in mm."""


@dataclass(frozen=True)
class TheatreOpened:
    """Theatre was opened: identity and side confirmed by a person, with the plan as it stood.

    ``sheet_words`` are the facts of the sheet that the record repeats, by field. ``terrain`` is kept so that the
    drawing of the record can be made again from the log alone.
    """

    patient: str
    side: Literal["right", "left"]
    confirmed_by: str
    day: date
    template: OperationTemplate
    steps: tuple[OperationStep, ...]
    layout: Layout | None = None
    strip: TendonStrip | None = None
    terrain: Terrain = ()
    sheet_words: tuple[tuple[str, str], ...] = ()
    limbs: LimbsFollowed | None = None


@dataclass(frozen=True)
class Replanned:
    """From here on theatre follows another plan: its steps and layout, and why.

    ``made`` says where the plan comes from: the one that stands in Repair, or the limbs planned anew from where they
    were. Of the latter ``because`` names the entries it answers, ``changes`` what changed, in words, ``first`` the key
    of its first step, and ``words`` what was proven of it.
    """

    reason: str
    steps: tuple[OperationStep, ...]
    layout: Layout | None = None
    strip: TendonStrip | None = None
    made: Literal["in repair", "in theatre"] = "in repair"
    limbs: LimbsFollowed | None = None
    because: tuple[int, ...] = ()
    changes: tuple[str, ...] = ()
    first: str = ""
    words: str = ""


@dataclass(frozen=True)
class StepLeft:
    """A step was left behind: nothing more is said by it."""

    step: str


@dataclass(frozen=True)
class Finding:
    """What was seen at a part: a tendon, the biceps, the cartilage."""

    about: str
    text: str


@dataclass(frozen=True)
class Remeasured:
    """A measure taken in theatre, after debridement: its field, value and unit."""

    field: str
    value: float
    unit: str
    instrument: str = ""


@dataclass(frozen=True)
class ImplantEntered:
    """An implant was opened and, unless ``place`` is empty, put in there.

    ``implant`` is its own name in this log; ``item`` and ``kind`` are what the stock calls it. ``expired_reason``
    stands only where one past its date was used.
    """

    implant: str
    place: str
    label: ImplantLabel
    item: str = ""
    kind: str = ""
    expired_reason: str = ""


@dataclass(frozen=True)
class ImplantWasted:
    """An implant was opened and did not stay: never put in."""

    implant: str
    reason: str


@dataclass(frozen=True)
class ImplantRemoved:
    """An implant that was in came out again."""

    implant: str
    reason: str


@dataclass(frozen=True)
class MishapEntered:
    """Something happened: what, to which anchor, suture, limb or portal, and the surgeon's answer.

    ``choice`` is the answer as the planner of limbs takes it, ``at`` where something new goes along the tear (chart u,
    mm), ``limb`` the limb that went through the hole of ``name`` by mistake.
    """

    kind: MishapWord
    name: str = ""
    answer: str = ""
    words: str = ""
    choice: MishapChoice = ""
    at: float | None = None
    limb: str = ""


@dataclass(frozen=True)
class Deviation:
    """Something was done otherwise than planned, with its reason.

    ``line`` is the line of the record it is about. ``left_out`` says it was not done at all; ``u`` and ``v`` (chart mm)
    where it was done instead.
    """

    line: str
    text: str
    reason: str
    left_out: bool = False
    u: float | None = None
    v: float | None = None


@dataclass(frozen=True)
class Affirmed:
    """A person affirms that these lines of the record are as they read."""

    lines: tuple[str, ...]
    person: str


@dataclass(frozen=True)
class Withdrawn:
    """An earlier entry does not hold, with the reason."""

    seq: int
    reason: str


@dataclass(frozen=True)
class Stated:
    """A field of the record as a person states it; ``none`` is a statement too."""

    field: str
    text: str


@dataclass(frozen=True)
class Coded:
    """A code of the diagnosis or of the procedure as a person chose it, and the system it is of."""

    about: Literal["diagnosis", "procedure"]
    system: str
    code: str


@dataclass(frozen=True)
class StrengthKept:
    """What the repair holds by the model, planned or as done: rounded numbers, kept and never recomputed."""

    which: Literal["planned", "done"]
    tissue: str
    bone: str
    low_newtons: float
    middle_newtons: float
    high_newtons: float
    weakest: str
    draws: int
    seed: int
    version: str
    edition: str
    input_hash: str


@dataclass(frozen=True)
class Signed:
    """The record was signed: locked, with the digests of what was signed."""

    person: str
    record_sha256: str
    pdf_sha256: str
    fhir_sha256: str
    version: str


@dataclass(frozen=True)
class Addendum:
    """What a person adds to a signed record."""

    person: str
    text: str


Entry = (
    TheatreOpened
    | Replanned
    | StepLeft
    | Finding
    | Remeasured
    | ImplantEntered
    | ImplantWasted
    | ImplantRemoved
    | MishapEntered
    | Deviation
    | Affirmed
    | Withdrawn
    | Stated
    | Coded
    | StrengthKept
    | Signed
    | Addendum
)
"""Everything that can be entered."""


@dataclass(frozen=True)
class Kept:
    """An entry as kept: its number in the case's log, when it was kept and when it happened, by whom, and its hash."""

    seq: int
    at: datetime
    happened: datetime
    role: str
    entry: Entry
    hash: str = ""
