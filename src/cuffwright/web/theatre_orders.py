"""What the browser may send from Theatre and Record."""

from datetime import datetime
from typing import Any, Literal

from pydantic import Field

from cuffwright.web.strict import Strict

ID = r"^[A-Za-z0-9-]+$"
"""What an id of a command looks like."""

EntryKind = Literal[
    "theatre.step-left",
    "theatre.finding",
    "theatre.remeasured",
    "theatre.implant-wasted",
    "theatre.implant-removed",
    "theatre.mishap",
    "theatre.deviation",
    "theatre.affirmed",
    "theatre.withdrawn",
    "record.stated",
    "record.coded",
    "record.addendum",
]


class Moment(Strict):
    """An id of its own, and when it happened by the clock of the browser."""

    id: str = Field(min_length=8, max_length=64, pattern=ID)
    happened: str = Field(min_length=20, max_length=40)

    @property
    def at(self) -> datetime | None:
        """The moment, or None when it is none with a zone."""
        try:
            found = datetime.fromisoformat(self.happened)
        except ValueError:
            return None
        return found if found.tzinfo is not None else None


class Opening(Moment):
    """Identity and side as a person confirmed them."""

    patient: str = Field(min_length=1, max_length=200)
    side: Literal["right", "left"]
    person: str = Field(min_length=1, max_length=80)


class EntryOrder(Moment):
    """An entry."""

    kind: EntryKind
    entry: dict[str, Any]


class ImplantOrder(Moment):
    """An implant by the text of its label, and the place it goes to (empty: only opened)."""

    implant: str = Field(min_length=1, max_length=64, pattern=ID)
    place: str = Field(max_length=12)
    text: str = Field(min_length=1, max_length=2000)
    expired_reason: str = Field(default="", max_length=400)


class ReplanOrder(Moment):
    """Why theatre is to follow the plan that stands in Repair now."""

    reason: str = Field(min_length=1, max_length=400)


class LabelOrder(Strict):
    """The text of a label to be read, nothing kept."""

    text: str = Field(max_length=2000)


class SignOrder(Moment):
    """Who signs."""

    person: str = Field(min_length=1, max_length=80)
