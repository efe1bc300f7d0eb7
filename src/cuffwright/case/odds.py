"""What published evidence says about one shoulder before a decision: classes, odds, reasons, never one number."""

from dataclasses import dataclass
from typing import Literal

Inside = Literal["inside", "outside", "not known"]
"""Whether this patient lies inside the population of a study."""


@dataclass(frozen=True)
class ClassAnswer:
    """One class of one scheme: ``value`` where what is known decides it, else None and what is still ``possible``.

    ``near`` are the classes that the spread of the measures would also allow. ``rivals`` is the question that several
    schemes answer differently. ``missing`` are the paths that would decide.
    """

    name: str
    title: str
    rivals: str
    value: str | None
    possible: tuple[str, ...]
    near: tuple[str, ...]
    rule: str
    missing: tuple[str, ...]
    facts: tuple[str, ...]
    verified: bool
    caution: str


@dataclass(frozen=True)
class Population:
    """Who was studied: people, year of the paper, how the outcome was seen, when; and the source's id."""

    people: str
    year: int
    imaging: str
    when: str
    source: str


@dataclass(frozen=True)
class OddsAnswer:
    """What one published model or rate says: a share from ``low`` to ``high`` of ``outcome``, or None with a reason.

    ``points`` are the ends of a sum of points where the model has one. ``over_all_values_of`` names the inputs that are
    missing and were run over all their values, ``missing`` those without which nothing is computed. ``why_outside``
    says why this patient is not ``inside``, or what is needed to tell.
    """

    name: str
    title: str
    outcome: str
    low: float | None
    high: float | None
    points: tuple[float, float] | None
    words: str
    population: Population
    inside: Inside
    why_outside: tuple[str, ...]
    over_all_values_of: tuple[str, ...]
    missing: tuple[str, ...]
    facts: tuple[str, ...]
    verified: bool
    for_patients: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Reason:
    """A reason to think twice: its words, what it rests on, and other ways, in the order of the alphabet."""

    name: str
    words: str
    others: tuple[str, ...]
    strength: str
    facts: tuple[str, ...]
    verified: bool


@dataclass(frozen=True)
class BoneWork:
    """Added work on bone as a decision: not routine, what speaks for it, what is not known, the reason written."""

    name: str
    title: str
    met: tuple[str, ...]
    not_met: tuple[str, ...]
    missing: tuple[str, ...]
    reason: str
    words: str
    evidence: tuple[str, ...]
    facts: tuple[str, ...]


@dataclass(frozen=True)
class Statement:
    """A statement of a guideline in our own words: edition, strength of evidence, source, whether it was read."""

    name: str
    words: str
    edition: str
    strength: str
    source: str
    facts: tuple[str, ...]
    verified: bool


@dataclass(frozen=True)
class Judged:
    """Everything about one shoulder before a decision; ``structure`` spans the models, it does not blend them.

    ``structure`` is the lowest and highest share not healed that any computed model or rate gives, ``structure_read``
    the same over sources that were read. ``reasons_unknown`` are the paths without which a reason against may be
    overlooked. ``double_row`` says what a double row changed in published retears, ``general`` holds the cautions that
    stand on every screen and sheet.
    """

    case: str
    side: str
    classes: tuple[ClassAnswer, ...]
    odds: tuple[OddsAnswer, ...]
    structure: tuple[float, float] | None
    structure_read: tuple[float, float] | None
    benefit: tuple[Statement, ...]
    reasons: tuple[Reason, ...]
    reasons_unknown: tuple[str, ...]
    bone_work: tuple[BoneWork, ...]
    double_row: tuple[str, ...]
    statements: tuple[Statement, ...]
    general: tuple[str, ...]
    facts: tuple[str, ...]
    version: str
    edition: str
