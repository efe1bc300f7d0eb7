"""Follow-up of one patient: what was recorded at each visit, what is due, what changed."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.score import Answers, Change, Relative, ScoreResult

Imaging = Literal["MR", "ultrasound"]
Integrity = Literal["healed", "torn again"]
MrType = Literal["I", "II", "III", "IV", "V"]
Due = Literal["done", "open", "overdue", "not yet", "missed"]


@dataclass(frozen=True)
class Seen:
    """The repair on imaging: the raw type I to V on MR, or whole or not on ultrasound."""

    imaging: Imaging
    mr_type: MrType | None = None
    whole: bool | None = None

    def __post_init__(self) -> None:
        if self.imaging == "MR" and self.mr_type is None:
            raise CaseError("imaging by MR has no type; give mr_type, I to V")
        if self.imaging == "ultrasound" and (self.whole is None or self.mr_type is not None):
            raise CaseError("imaging by ultrasound has no type I to V; say whole = true or false")


@dataclass(frozen=True)
class Complication:
    """An event after the operation: its kind by the list, the day, what was seen."""

    kind: Literal["stiffness", "pain", "cuff", "nerve", "infection", "device", "clot", "other"]
    day: date
    words: str = ""


@dataclass(frozen=True)
class Visit:
    """One visit: its day, the answers to scores, imaging."""

    day: date
    answers: tuple[Answers, ...] = ()
    seen: Seen | None = None


@dataclass(frozen=True)
class FollowUp:
    """The record of one patient after (and once before) the operation; ``as_planned`` says that it was done so.

    Raises
    ------
    CaseError
        At birth, when a complication or imaging of the repair lies before the operation, answers name the wrong side
        of it, or two visits share a day.
    """

    patient: str
    side: Literal["right", "left"]
    operation_date: date
    visits: tuple[Visit, ...] = ()
    complications: tuple[Complication, ...] = ()
    age: int | None = None
    sex: Literal["female", "male", "other"] | None = None
    as_planned: bool | None = None
    format: int = 1

    def __post_init__(self) -> None:
        if not self.patient.strip():
            raise CaseError("the follow-up has no patient key; give it a local key that is not a name")
        days = [visit.day for visit in self.visits]
        if len(set(days)) != len(days):
            raise CaseError("two visits stand on one day; join them")
        for visit in self.visits:
            if visit.seen is not None and visit.day <= self.operation_date:
                raise CaseError(f"imaging on {visit.day} shows no repair yet; give imaging from after the operation")
            for told in visit.answers:
                if told.moment is not None and (told.moment == "before") != (visit.day <= self.operation_date):
                    raise CaseError(
                        f"the answers to {told.score} on {visit.day} say {told.moment}; correct day or moment"
                    )
        for event in self.complications:
            if event.day < self.operation_date:
                raise CaseError(f"a complication on {event.day} lies before the operation; correct the day")


@dataclass(frozen=True)
class DueVisit:
    """A planned visit: the day, its window, whether it is done, open, overdue, missed or not yet."""

    name: str
    day: date
    opens: date
    closes: date
    state: Due
    scores: bool
    imaging: bool
    window_verified: bool


@dataclass(frozen=True)
class ImagedRepair:
    """What imaging says of the repair: the raw type kept, the word, or why there is none yet."""

    day: date
    imaging: Imaging
    mr_type: MrType | None
    said: Integrity | None
    words: str
    verified: bool


@dataclass(frozen=True)
class VisitScores:
    """All scores of one visit, with weeks since the operation (below 0 before it)."""

    day: date
    weeks: float
    scores: tuple[ScoreResult, ...]
    relative: tuple[Relative, ...]


@dataclass(frozen=True)
class CurvePoint:
    """A score on a day: months since the operation and its value."""

    months: float
    value: float


@dataclass(frozen=True)
class Recovery:
    """The course of one score beside the published mean time until each limit: months and the value it stands for."""

    name: str
    points: tuple[CurvePoint, ...]
    published: tuple[tuple[str, float, float | None], ...]
    words: str


@dataclass(frozen=True)
class FollowedUp:
    """A whole follow-up worked out on ``today``."""

    patient: str
    side: str
    operation_date: date
    today: date
    due: tuple[DueVisit, ...]
    visits: tuple[VisitScores, ...]
    changes: tuple[tuple[date, Change], ...]
    integrity: tuple[ImagedRepair, ...]
    recovery: tuple[Recovery, ...]
    complications: tuple[Complication, ...]
    cautions: tuple[str, ...]
    facts: tuple[str, ...]
    version: str
    edition: str
