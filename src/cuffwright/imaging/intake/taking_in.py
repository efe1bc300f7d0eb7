"""Read every file of an import: pictures, or a reason why a file is set aside. The rest go on."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.finding import Found, Source, find_files
from cuffwright.imaging.intake.series import Series, series_of
from cuffwright.imaging.picture import Picture, read_pictures

GoOn = Callable[[int, int], bool]
"""Told how many files are read, and of how many; answers whether to go on."""


@dataclass(frozen=True)
class SetAside:
    """A file that gives no picture, and why, in one sentence."""

    name: str
    reason: str


@dataclass(frozen=True)
class Intake:
    """What an import holds: series by geometry, files set aside, and what is odd about the whole."""

    series: tuple[Series, ...]
    set_aside: tuple[SetAside, ...]
    notes: tuple[str, ...]
    files: int

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """Every picture of every series."""
        return tuple(picture for one in self.series for picture in one.pictures)


def read_each(files: Iterator[Found], salt: bytes | None = None) -> Iterator[tuple[Picture, ...] | SetAside]:
    """Read one file after the other; only one is held at a time. To stop, stop asking."""
    for found in files:
        if found.refused:
            yield SetAside(found.name, found.refused)
            continue
        try:
            yield read_pictures(found.place, salt=salt)
        except ImageError as refusal:
            yield SetAside(found.name, str(refusal).replace(found.place.name, found.name))
        except Exception as unforeseen:
            # damaged bytes can make the reader raise nearly anything; one file must not stop a thousand
            yield SetAside(found.name, f"{found.name} cannot be read ({type(unforeseen).__name__}); export it again")


def take_in(
    source: Path | str | Sequence[Path] | Source,
    *,
    unpack_to: Path | None = None,
    salt: bytes | None = None,
    go_on: GoOn | None = None,
) -> Intake:
    """Read an import whole.

    Parameters
    ----------
    source, unpack_to
        As in :func:`~cuffwright.imaging.intake.finding.find_files`; or files already found.
    salt
        Secret with which name, identifier and birth date are hashed.
    go_on
        Called after each file; the import stops when it answers false.

    Raises
    ------
    ImageError
        When nothing is there, or the import was stopped: then nothing of it is kept.
    """
    found = source if isinstance(source, Source) else find_files(source, unpack_to)
    pictures: list[Picture] = []
    aside: list[SetAside] = []
    for done, outcome in enumerate(read_each(found.files, salt), start=1):
        if isinstance(outcome, SetAside):
            aside.append(outcome)
        else:
            pictures.extend(outcome)
        if go_on is not None and not go_on(done, found.count):
            raise ImageError(f"the import was stopped after {done} of {found.count} files; nothing of it is kept")
    once, doubles = without_doubles(pictures)
    notes = (*found.notes, *((f"{doubles} pictures are there twice and counted once",) if doubles else ()))
    return Intake(series_of(once), tuple(aside), notes, found.count)


def without_doubles(pictures: Sequence[Picture]) -> tuple[list[Picture], int]:
    """The pictures, each once by its name and frame, and how many were there a second time."""
    seen: dict[tuple[str, int], Picture] = {}
    unnamed = []
    for picture in pictures:
        if picture.sop_instance_uid:
            seen.setdefault((picture.sop_instance_uid, picture.frame), picture)
        else:
            unnamed.append(picture)
    once = [*seen.values(), *unnamed]
    return once, len(pictures) - len(once)
