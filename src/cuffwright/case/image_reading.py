"""What was taken in from images and read off them, as a case keeps it."""

from dataclasses import dataclass

from cuffwright.case.measurement import Measurement


@dataclass(frozen=True)
class ImageImport:
    """One import of images into a case: its folder, what it held, and whose it was.

    ``salt`` hashes the identifiers of this case's images, ``key`` makes their new names; both are hexadecimal, and the
    same for every import of a case. ``patient`` are the salted hashes of name, identifier and birth date, None where
    the files carry none. ``confirmed`` are the questions a person answered with yes; ``aside`` the reasons for files
    that gave no picture, without their names; ``link`` are pairs of new and old study names, kept only when asked for.
    ``dropped`` when its pictures were removed again.
    """

    id: str
    files: int
    pictures: int
    salt: str
    key: str
    patient: tuple[str | None, str | None, str | None]
    confirmed: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    link: tuple[tuple[str, str], ...] = ()
    dropped: bool = False


@dataclass(frozen=True)
class ImageReading:
    """A value read off one image and accepted: the measure, its value and SD, and the image with its frame.

    ``fills`` are the fields of the case it gives, by path; none when it is kept beside the sheet. ``whole`` is the
    reading in full (marks, parts of the spread, doubts) as JSON text, so that it can be shown again as it was taken.
    """

    name: str
    title: str
    value: float
    sd: float
    unit: str
    image: str
    frame: int
    fills: tuple[tuple[str, Measurement | bool], ...]
    whole: str
