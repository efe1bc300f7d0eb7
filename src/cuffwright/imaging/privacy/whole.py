"""A whole import stripped, after right patient and side are settled and never before."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.right import Admission, require_admitted
from cuffwright.imaging.intake.taking_in import SetAside
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.privacy.files import Stripped, strip_file
from cuffwright.imaging.privacy.stripping import Stripper


def strip_import(
    pictures: Sequence[Picture], admission: Admission, folder: Path, stripper: Stripper
) -> tuple[Stripped, ...]:
    """Write a stripped copy of every file of an import; files are numbered, since their names may name the patient.

    Parameters
    ----------
    pictures
        Of the import; a file with several frames is written once.
    admission
        The comparison with the case; it must have been settled.
    folder
        Where the copies go; made when it is not there.
    stripper
        With the key of the case.

    Raises
    ------
    ImageError
        When the import is refused or still waits for an answer, or a file cannot be written.
    """
    written = []
    for one in strip_each(pictures, admission, folder, stripper):
        if isinstance(one, SetAside):
            raise ImageError(one.reason)
        written.append(one)
    return tuple(written)


def strip_each(
    pictures: Sequence[Picture], admission: Admission, folder: Path, stripper: Stripper
) -> Iterator[Stripped | SetAside]:
    """As :func:`strip_import`, one file after the other, the rest going on after one that cannot be written.

    To stop, stop asking.
    """
    require_admitted(admission)
    folder.mkdir(parents=True, exist_ok=True)
    sources = dict.fromkeys(picture.path for picture in pictures)
    for i, source in enumerate(sources, start=1):
        try:
            yield strip_file(source, folder / f"{i:05d}.dcm", stripper)
        except ImageError as refusal:
            yield SetAside(source.name, str(refusal))
