"""The files of a folder, a zip file, a media index (DICOMDIR) or a list, one after the other."""

import os
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pydicom

from cuffwright.case.errors import ImageError
from cuffwright.imaging.header import MAX_BYTES, quiet

INDEX = "DICOMDIR"

MAX_FILES = 100_000
"""Numerical choice: the most files of one import."""

MAX_UNPACKED = 16 * 1024**3
"""Numerical choice: the most bytes a zip file may unpack to."""

CHUNK = 1024 * 1024
"""Numerical choice: bytes copied out of a zip file at a time."""


@dataclass(frozen=True)
class Found:
    """A file to be read: its place on disk, its name as the user knows it, or why it cannot be read at all."""

    place: Path
    name: str
    refused: str = ""


@dataclass(frozen=True)
class Source:
    """Where files come from: how many there are at most, what is odd about the whole, and the files themselves."""

    count: int
    notes: tuple[str, ...]
    files: Iterator[Found]


def find_files(source: Path | str | Sequence[Path], unpack_to: Path | None = None) -> Source:
    """Look what there is to read; a zip file is unpacked one file at a time while it is read.

    Parameters
    ----------
    source
        A folder, a zip file, a DICOMDIR, one image, or a list of files (as dragged onto the page).
    unpack_to
        Empty folder for the files of a zip file; they are given numbers for names.

    Raises
    ------
    ImageError
        When there is nothing there, or the zip file or index cannot be read.
    """
    if not isinstance(source, str | Path):
        return _listed(list(source))
    place = Path(source)
    if place.is_dir():
        return _in_folder(place)
    if not place.is_file():
        raise ImageError(f"{place.name} cannot be found; check the path")
    if place.name.upper() == INDEX:
        return _in_index(place)
    if zipfile.is_zipfile(place):
        if unpack_to is None:
            raise ImageError(f"{place.name} is a zip file and needs a folder to unpack to; name one")
        return _in_zip(place, unpack_to)
    return _listed([place])


def dropped(files: Sequence[tuple[Path, str]], unpack_to: Path) -> Source:
    """Files dropped onto the page, each with the name the user knows it by; zip files among them are unpacked.

    Parameters
    ----------
    files
        Place on disk and name.
    unpack_to
        Empty folder, under which every zip file gets one of its own.

    Raises
    ------
    ImageError
        When there is no file, or a zip file among them is damaged.
    """
    wanted = [(place, name) for place, name in files if Path(name).name.upper() != INDEX]
    if not wanted:
        raise ImageError("there is no file to read; choose a folder, a zip file or images")
    _check_count(len(wanted))
    sources = []
    for number, (place, name) in enumerate(wanted):
        if zipfile.is_zipfile(place):
            folder = unpack_to / f"zip-{number}"
            folder.mkdir(parents=True)
            sources.append(_in_zip(place, folder))
        else:
            sources.append(Source(1, (), iter([Found(place, name)])))
    return Source(sum(one.count for one in sources), (), (found for one in sources for found in one.files))


def _listed(places: list[Path]) -> Source:
    if not places:
        raise ImageError("there is no file to read; choose a folder, a zip file or images")
    _check_count(len(places))
    return Source(len(places), (), (Found(place, place.name) for place in places))


def _in_folder(folder: Path) -> Source:
    places = sorted(Path(top) / name for top, _, names in os.walk(folder) for name in names)
    indexes = [place for place in places if place.name.upper() == INDEX]
    files = [place for place in places if place.name.upper() != INDEX]
    if not files:
        raise ImageError(f"{folder.name} holds no file; choose the folder with the images")
    _check_count(len(files))
    notes = tuple(note for index in indexes for note in _index_notes(index))
    return Source(len(files), notes, (Found(place, str(place.relative_to(folder))) for place in files))


def _index_notes(index: Path) -> tuple[str, ...]:
    try:
        return _in_index(index).notes
    except ImageError as damage:
        return (f"{damage}; the files beside it are read without it",)


def _in_index(index: Path) -> Source:
    """The files a DICOMDIR names, with a note for those that are gone; paths that lead out of its folder are not."""
    folder = index.parent
    named = [folder.joinpath(*parts) for parts in _records(index)]
    home = folder.resolve()
    inside = [place for place in named if place.resolve().is_relative_to(home)]
    there = [place for place in inside if place.is_file()]
    notes = []
    if len(inside) < len(named):
        notes.append(f"{len(named) - len(inside)} entries of {INDEX} lead out of its folder and are not followed")
    if len(there) < len(inside):
        notes.append(
            f"{len(inside) - len(there)} of {len(inside)} files named in {INDEX} are missing; copy the disc again"
        )
    if not there:
        raise ImageError(f"none of the files named in {INDEX} is there; choose the whole folder")
    _check_count(len(there))
    return Source(len(there), tuple(notes), (Found(place, str(place.relative_to(folder))) for place in there))


def _records(index: Path) -> list[list[str]]:
    found = []
    try:
        if index.stat().st_size > MAX_BYTES:
            raise ImageError(f"{INDEX} is too large to be an index; choose the folder instead")
        with quiet():
            for record in pydicom.dcmread(index).DirectoryRecordSequence:
                parts = record.get("ReferencedFileID")
                if parts:
                    found.append([parts] if isinstance(parts, str) else [str(part) for part in parts])
    except ImageError:
        raise
    except Exception as damage:
        # a damaged index makes the parser raise nearly anything
        raise ImageError(f"{INDEX} cannot be read; choose the folder instead") from damage
    return found


def _in_zip(place: Path, unpack_to: Path) -> Source:
    try:
        with zipfile.ZipFile(place) as archive:
            members = [info for info in archive.infolist() if not info.is_dir()]
    except (zipfile.BadZipFile, OSError, RuntimeError) as damage:
        raise ImageError(f"{place.name} is a damaged zip file; copy it again") from damage
    if not members:
        raise ImageError(f"{place.name} holds no file; choose another")
    _check_count(len(members))
    claimed = sum(info.file_size for info in members)
    if claimed > MAX_UNPACKED:
        raise ImageError(f"{place.name} unpacks to more than {MAX_UNPACKED // 1024**3} GB; import it in parts")
    wanted = [info for info in members if Path(info.filename).name.upper() != INDEX]
    return Source(len(wanted), (), _unpacked(place, wanted, unpack_to))


def _unpacked(place: Path, members: list[zipfile.ZipInfo], unpack_to: Path) -> Iterator[Found]:
    """Each member under a number of its own, so that no name in the archive can lead anywhere."""
    with zipfile.ZipFile(place) as archive:
        for number, info in enumerate(members):
            target = unpack_to / f"{number:06d}.dcm"
            yield Found(target, info.filename, _unpack(archive, info, target))


def _unpack(archive: zipfile.ZipFile, info: zipfile.ZipInfo, target: Path) -> str:
    if info.flag_bits & 1:
        return "it is locked with a password; unpack it first"
    if info.file_size > MAX_BYTES:
        return f"it is larger than {MAX_BYTES // 2**20} MB; export single images"
    left = info.file_size
    try:
        with archive.open(info) as packed, target.open("wb") as out:
            while chunk := packed.read(CHUNK):
                left -= len(chunk)
                if left < 0:
                    return "it unpacks to more than it claims; pack it again"
                out.write(chunk)
    except Exception:
        # a damaged member raises whatever its compression raises
        return "it cannot be unpacked; copy the zip file again"
    return ""


def _check_count(count: int) -> None:
    if count > MAX_FILES:
        raise ImageError(f"{count} files are more than one import may hold ({MAX_FILES}); import one study at a time")
