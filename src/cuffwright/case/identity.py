"""Whose shoulder, which side, which day."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from cuffwright.case.errors import CaseError

Side = Literal["right", "left"]


@dataclass(frozen=True)
class Identity:
    """A local patient key (never a name), the side, the operation date and the date of the images.

    Raises
    ------
    CaseError
        At birth, when the key is empty.
    """

    patient: str
    side: Side
    operation_date: date | None = None
    image_date: date | None = None
    title: str = ""
    invented: bool = False

    def __post_init__(self) -> None:
        if not self.patient.strip():
            raise CaseError("the case has no patient key; give identity.patient a local key that is not a name")
