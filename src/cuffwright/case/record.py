"""The record of an operation without language: sections of lines, each with its standing and the entries behind it."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from cuffwright.case.errors import CaseError

LineStanding = Literal["planned, unconfirmed", "changed, unconfirmed", "affirmed", "entered", "computed", "missing"]
"""``entered`` is a fact a person entered, ``affirmed`` what a person affirmed, ``computed`` what follows from the log,
``missing`` what nobody said."""


@dataclass(frozen=True)
class ContentField:
    """One compulsory content of a record: its key, section, whether signing waits for it, and who asks for it.

    ``filled`` says whether a person states it or the log gives it.
    """

    key: str
    section: str
    filled: Literal["stated", "log"] = "stated"
    gate: bool = False
    source: str = ""


@dataclass(frozen=True)
class Contents:
    """Everything a record must hold, in the order of print.

    Raises
    ------
    CaseError
        At birth, when a field stands twice.
    """

    name: str
    version: str
    fields: tuple[ContentField, ...]
    format: int = 1

    def __post_init__(self) -> None:
        keys = [field.key for field in self.fields]
        double = {key for key in keys if keys.count(key) > 1}
        if double:
            raise CaseError(f"{min(double)} stands twice among the contents of the record; name it once")

    @property
    def sections(self) -> tuple[str, ...]:
        """The sections in their order."""
        return tuple(dict.fromkeys(field.section for field in self.fields))


@dataclass(frozen=True)
class RecordLine:
    """One line: the key of its words, what fills them, its standing, who affirmed it, and its entries by number.

    A filling that begins with ``@`` is itself a word to be translated.
    """

    words: str
    fill: tuple[tuple[str, str], ...]
    standing: LineStanding
    events: tuple[int, ...] = ()
    person: str = ""


@dataclass(frozen=True)
class RecordSection:
    """A section and its lines."""

    key: str
    lines: tuple[RecordLine, ...]


@dataclass(frozen=True)
class EventMark:
    """An entry as a line cites it: its number, when it happened, when it was kept."""

    seq: int
    happened: datetime
    at: datetime


@dataclass(frozen=True)
class Record:
    """What a record holds before it is signed.

    ``missing`` are the contents nobody gave, ``blocking`` those of them that signing waits for. ``head`` is the hash of
    the last entry of the log it was made from, ``""`` without a log.
    """

    case: str
    patient: str
    side: Literal["right", "left"]
    day: date | None
    invented: bool
    sections: tuple[RecordSection, ...]
    missing: tuple[str, ...]
    blocking: tuple[str, ...]
    events: tuple[EventMark, ...]
    head: str
    contents: str

    def section(self, key: str) -> RecordSection:
        """The section called ``key``; raises CaseError when there is none."""
        for section in self.sections:
            if section.key == key:
                return section
        raise CaseError(f"the record has no section {key}")
