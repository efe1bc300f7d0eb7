"""Images on the board: an import, and a reading that fills fields of the sheet."""

from dataclasses import dataclass, replace

from cuffwright.case.errors import CaseError
from cuffwright.case.image_reading import ImageImport, ImageReading
from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet


@dataclass(frozen=True)
class ImagesTaken:
    """Images were taken into the case. It cannot be undone, since it says whose they are."""

    taken: ImageImport


@dataclass(frozen=True)
class ImagesDropped:
    """The pictures of an import were removed from the case. It cannot be undone, since they are gone."""

    id: str


@dataclass(frozen=True)
class ReadingTaken:
    """A reading was accepted; ``layout`` is the repair as it was laid anew on it, None where it stays as it was."""

    reading: ImageReading
    layout: Layout | None = None


def without_pictures(imports: tuple[ImageImport, ...], gone: str) -> tuple[ImageImport, ...]:
    """The imports with the one called ``gone`` marked as removed; raises CaseError when there is none to remove."""
    if not any(one.id == gone and not one.dropped for one in imports):
        raise CaseError(f"there is no import {gone} to remove in this case; look at its images again")
    return tuple(replace(one, dropped=one.dropped or one.id == gone) for one in imports)


def with_reading(readings: tuple[ImageReading, ...], one: ImageReading) -> tuple[ImageReading, ...]:
    """The readings in the order they were taken; a later one of the same measure takes the place of the earlier."""
    return (*(other for other in readings if other.name != one.name), one)


def filled(sheet: CaseSheet, reading: ImageReading) -> CaseSheet:
    """The sheet with the fields the reading gives; raises CaseError when one of them is none of the sheet's."""
    for path, value in reading.fills:
        sheet = sheet.with_value(path, value)
    return sheet
