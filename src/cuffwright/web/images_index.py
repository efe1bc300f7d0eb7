"""What the pictures of an import say, kept beside them, so that a case with a thousand slices opens at once."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from cuffwright.imaging.intake.finding import find_files
from cuffwright.imaging.intake.taking_in import SetAside, read_each
from cuffwright.imaging.picture import Picture

INDEX = "index.json"


@cache
def _pictures() -> TypeAdapter[tuple[Picture, ...]]:
    return TypeAdapter(tuple[Picture, ...])


def pictures_in(folder: Path) -> tuple[Picture, ...]:
    """The pictures of the stripped files in a folder: from the index beside them, or read and written into it."""
    files = sorted(folder.glob("*.dcm"))
    index = folder / INDEX
    try:
        known = _pictures().validate_json(index.read_bytes())
    except (OSError, ValidationError):
        known = ()
    if {picture.path.name for picture in known} == {file.name for file in files}:
        return known if all(picture.path.parent == folder for picture in known) else _moved(known, folder)
    found: list[Picture] = []
    for outcome in read_each(find_files(files).files) if files else ():
        if not isinstance(outcome, SetAside):
            found.extend(outcome)
    fresh = folder / f"{INDEX}.new"
    fresh.write_bytes(_pictures().dump_json(tuple(found)))
    fresh.replace(index)
    return tuple(found)


def _moved(known: tuple[Picture, ...], folder: Path) -> tuple[Picture, ...]:
    """The same pictures in a data folder that was moved."""
    return tuple(replace(picture, path=folder / picture.path.name) for picture in known)
