"""The case sheet: everything known before a plan is made."""

from collections.abc import Iterator
from dataclasses import dataclass, field, fields, is_dataclass, replace
from typing import Any, Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.judgement import Judgement
from cuffwright.case.measurement import Measurement
from cuffwright.case.opened import Implants
from cuffwright.case.patient import Patient
from cuffwright.case.shoulder import Shoulder
from cuffwright.case.tear import Tear
from cuffwright.case.tissues import Acromion, Biceps, Bone, Footprint, Muscle, Subscapularis

Insertion = Literal["standard", "deep", "proud"]


@dataclass(frozen=True)
class Plan:
    """What the surgeon has chosen so far: the repair pattern by name, the implants by row, knots and seating.

    ``half_hitches`` are the reversed ones, on alternating posts, that back each knot; ``insertion`` is how deep anchors
    sit. Left out, the plan is three half hitches and anchors seated as intended.

    Raises
    ------
    CaseError
        At birth, when a knot is planned without a half hitch.
    """

    pattern: str | None = None
    medial_implant: str | None = None
    lateral_implant: str | None = None
    half_hitches: int | None = None
    insertion: Insertion | None = None

    def __post_init__(self) -> None:
        if self.half_hitches is not None and self.half_hitches < 1:
            raise CaseError("plan.half_hitches is below 1; a knot without a reversed half hitch is not on record")


@dataclass(frozen=True)
class CaseSheet:
    """One shoulder: identity, tear and everything around it. ``format`` is the version of this sheet."""

    identity: Identity
    tear: Tear
    biceps: Biceps = field(default_factory=Biceps)
    subscapularis: Subscapularis = field(default_factory=Subscapularis)
    muscle: Muscle = field(default_factory=Muscle)
    bone: Bone = field(default_factory=Bone)
    footprint: Footprint = field(default_factory=Footprint)
    acromion: Acromion = field(default_factory=Acromion)
    shoulder: Shoulder = field(default_factory=Shoulder)
    patient: Patient = field(default_factory=Patient)
    judgement: Judgement = field(default_factory=Judgement)
    plan: Plan = field(default_factory=Plan)
    implants: Implants = field(default_factory=Implants)
    format: int = 1

    def measurements(self) -> Iterator[tuple[str, Measurement | None]]:
        """Every measured field by its path, such as ``tear.width_mm``; None where it is unknown."""
        for part in fields(self):
            value = getattr(self, part.name)
            if not is_dataclass(value):
                continue
            for item in fields(value):
                if "Measurement" in str(item.type):
                    yield f"{part.name}.{item.name}", getattr(value, item.name)

    def value_at(self, path: str) -> Any:
        """What the field ``path`` holds, such as ``tear.width_mm``; raises CaseError when there is no such field."""
        part, _, name = path.partition(".")
        holder = getattr(self, part, None)
        if not is_dataclass(holder) or isinstance(holder, type) or name not in {item.name for item in fields(holder)}:
            raise CaseError(f"the case has no field {path}; see docs/case_file.md for those it has")
        return getattr(holder, name)

    def with_value(self, path: str, value: Measurement | bool) -> "CaseSheet":
        """The sheet with another value in the field ``path``, such as ``tear.width_mm``; nothing else is changed.

        Raises
        ------
        CaseError
            When there is no such field, or it cannot hold the value.
        """
        self.value_at(path)
        part, _, name = path.partition(".")
        changed: dict[str, Any] = {part: replace(getattr(self, part), **{name: value})}
        return replace(self, **changed)
