"""What about the patient bears on the repair."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError


@dataclass(frozen=True)
class Patient:
    """Patient factors; every one unknown until given. Ages in years, bone density as a T-score.

    Raises
    ------
    CaseError
        At birth, when the age is negative.
    """

    age: int | None = None
    sex: Literal["female", "male", "other"] | None = None
    smoker: bool | None = None
    diabetes: bool | None = None
    bone_density_t_score: float | None = None
    dominant_arm: bool | None = None
    work: Literal["low", "medium", "high"] | None = None
    earlier_repair: bool | None = None

    def __post_init__(self) -> None:
        if self.age is not None and self.age < 0:
            raise CaseError(f"patient.age is {self.age}; give the age in years")
