"""Images on the board: an import, and a reading that fills fields of the sheet."""

from dataclasses import dataclass

from cuffwright.case.image_reading import ImageImport, ImageReading
from cuffwright.case.sheet import CaseSheet


@dataclass(frozen=True)
class ImagesTaken:
    """Images were taken into the case. It cannot be undone, since it says whose they are."""

    taken: ImageImport


@dataclass(frozen=True)
class ReadingTaken:
    """A reading was accepted."""

    reading: ImageReading


def with_reading(readings: tuple[ImageReading, ...], one: ImageReading) -> tuple[ImageReading, ...]:
    """The readings in the order they were taken; a later one of the same measure takes the place of the earlier."""
    return (*(other for other in readings if other.name != one.name), one)


def filled(sheet: CaseSheet, reading: ImageReading) -> CaseSheet:
    """The sheet with the fields the reading gives; raises CaseError when one of them is none of the sheet's."""
    for path, value in reading.fills:
        sheet = sheet.with_value(path, value)
    return sheet
