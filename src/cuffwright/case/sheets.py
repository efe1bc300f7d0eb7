"""A sheet of paper for a patient, a therapist or the theatre: plain words, lists, and icons for natural frequencies."""

from dataclasses import dataclass
from typing import Literal

Reader = Literal["patient", "therapist", "theatre"]


@dataclass(frozen=True)
class Icons:
    """People out of ``of``: ``sure`` in every source, ``up_to`` in some; the words beside them."""

    of: int
    sure: int
    up_to: int
    words: str


@dataclass(frozen=True)
class SheetSection:
    """One section: heading, paragraphs, list, icons."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    icons: tuple[Icons, ...] = ()


@dataclass(frozen=True)
class PrintedSheet:
    """A whole sheet: for whom, which patient and side, its words, sources; ``grade`` of reading for a patient's."""

    reader: Reader
    title: str
    patient: str
    side: str
    invented: bool
    sections: tuple[SheetSection, ...]
    sources: tuple[str, ...]
    general: tuple[str, ...]
    grade: float | None
    version: str
    edition: str

    def prose(self) -> tuple[str, ...]:
        """Every sentence that its reader reads, sources left out."""
        found: list[str] = [self.title]
        for section in self.sections:
            found += [section.heading, *section.paragraphs, *section.items, *(icon.words for icon in section.icons)]
        return (*found, *self.general)
