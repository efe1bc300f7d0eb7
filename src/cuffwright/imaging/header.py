"""Open one DICOM file without trusting it: bounded, no traceback, elements read leniently."""

import logging
import math
import re
import threading
import warnings
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import pydicom
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.errors import InvalidDicomError
from pydicom.filereader import read_file_meta_info
from pydicom.uid import (
    DeflatedExplicitVRLittleEndian,
    ExplicitVRBigEndian,
    ExplicitVRLittleEndian,
    ImplicitVRLittleEndian,
)

from cuffwright.case.errors import ImageError

MAX_BYTES = 512 * 1024 * 1024
"""Numerical choice: the largest file, and the largest inflated file, that is opened."""

PREAMBLE_BYTES = 132
"""Numerical choice: 128 free bytes and the four letters DICM stand before the elements (PS3.10, 7.1)."""

GROUP_LENGTH_BYTES = 12
"""Numerical choice: bytes of the element that opens the file meta group (PS3.10, 7.1)."""

CODE = r"[A-Z0-9_ ]{1,16}"
"""Numerical choice: what a code string may look like (PS3.5, 6.2)."""

PIXEL_KEYWORDS = ("PixelData", "FloatPixelData", "DoubleFloatPixelData")

_T = TypeVar("_T")
_quiet_lock = threading.RLock()


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the reader's warnings off screen and log: they quote elements, which may name the patient.

    What matters is told in the picture's own warnings.
    """
    log = logging.getLogger("pydicom")
    with _quiet_lock, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        before = log.disabled
        log.disabled = True
        try:
            yield
        finally:
            log.disabled = before


def _attempt(read: Callable[[], _T]) -> _T | None:
    """``read()``, or nothing when the element is damaged.

    The reader converts elements lazily and lets almost any exception out of damaged ones, hence the broad catch.
    """
    try:
        with quiet():
            return read()
    except Exception:
        return None


class Header:
    """The elements of one file or of one item in it, each absent, readable, or noted as unreadable.

    Parameters
    ----------
    dataset
        The parsed elements.
    frame
        Index from 0 of the frame that per-frame elements are taken for.
    """

    def __init__(self, dataset: Dataset, frame: int = 0) -> None:
        self.dataset = dataset
        self.frame = frame
        self.unreadable: set[str] = set()

    def _value(self, keyword: str) -> Any:
        if not _attempt(lambda: keyword in self.dataset):
            return None
        element = _attempt(lambda: self.dataset[keyword])
        if element is None:
            self.unreadable.add(keyword)
            return None
        return element.value

    def text(self, keyword: str) -> str:
        """The element as stripped text, empty when absent or unreadable; several values joined by a backslash."""
        value = self._value(keyword)
        if value is None:
            return ""
        many = isinstance(value, (list, tuple)) or type(value).__name__ == "MultiValue"
        read = _attempt(lambda: "\\".join(str(v) for v in value) if many else str(value))
        return (read or "").strip().strip("\0")

    def words(self, keyword: str) -> tuple[str, ...]:
        """The values of a coded element, stripped and in capitals."""
        text = self.text(keyword)
        return tuple(word.strip().upper() for word in text.split("\\")) if text else ()

    def code(self, keyword: str) -> str:
        """A single code in capitals, empty when absent or when it is none; safe to print, since no name passes."""
        word = self.text(keyword).upper()
        return word if re.fullmatch(CODE, word) else ""

    def numbers(self, keyword: str) -> tuple[float, ...]:
        """The values of a numeric element; empty when absent, empty, or when one of them is no number."""
        found = []
        for word in self.words(keyword):
            try:
                found.append(float(word))
            except ValueError:
                self.unreadable.add(keyword)
                return ()
        return tuple(found)

    def number(self, keyword: str) -> float | None:
        """The single finite value of a numeric element, else nothing."""
        found = self.numbers(keyword)
        return found[0] if len(found) == 1 and math.isfinite(found[0]) else None

    def whole(self, keyword: str) -> int | None:
        """The single whole number of an element, else nothing."""
        found = self.number(keyword)
        return int(found) if found is not None and found == int(found) else None

    def items(self, keyword: str) -> tuple["Header", ...]:
        """The items of a sequence, empty when absent or damaged."""
        value = self._value(keyword)
        listed = _attempt(lambda: [item for item in value if isinstance(item, Dataset)]) if value is not None else None
        return tuple(Header(item, self.frame) for item in listed or ())

    def group(self, keyword: str) -> "Header | None":
        """The functional group of this frame: its per-frame item first, then the shared one."""
        frames = self.items("PerFrameFunctionalGroupsSequence")
        holders = [*frames[self.frame : self.frame + 1], *self.items("SharedFunctionalGroupsSequence")[:1]]
        return next((found[0] for holder in holders if (found := holder.items(keyword))), None)

    @property
    def frames(self) -> int | None:
        """Number of frames: 1 when the element is absent, nothing when it is unreadable or below 1."""
        if not self.text("NumberOfFrames"):
            return None if "NumberOfFrames" in self.unreadable else 1
        count = self.whole("NumberOfFrames")
        return count if count is not None and count >= 1 else None


def open_header(path: Path | str, frame: int = 0) -> Header:
    """Read one DICOM image file of at most :data:`MAX_BYTES`.

    Parameters
    ----------
    path
        The file.
    frame
        Index from 0 of the frame that is looked at.

    Raises
    ------
    ImageError
        When it is missing, no file, empty, too large, damaged, not DICOM, or holds no image.
    """
    place = Path(path)
    _check_file(place)
    dataset = _parse(place)
    _name_syntax(dataset)
    header = Header(dataset, frame)
    if not header.text("SOPClassUID"):
        raise ImageError(f"{place.name} is no DICOM image: it does not say what kind of object it is; export it again")
    if not any(keyword in dataset for keyword in PIXEL_KEYWORDS):
        kind = header.code("Modality") or "object"
        raise ImageError(f"{place.name} holds no picture (it is a {kind} without pixel data); choose an image file")
    return header


def _check_file(place: Path) -> None:
    try:
        size, is_file = place.stat().st_size, place.is_file()
    except (OSError, ValueError):
        raise ImageError(f"{place.name} cannot be found or opened; check the path") from None
    if not is_file:
        raise ImageError(f"{place.name} is not a file; choose one DICOM file")
    if size == 0:
        raise ImageError(f"{place.name} is empty; copy or export it again")
    if size > MAX_BYTES:
        raise ImageError(f"{place.name} is larger than {MAX_BYTES // 2**20} MB; export single images")


def _parse(place: Path) -> Dataset:
    refusal = ImageError(f"{place.name} is not a readable DICOM file; export it again from the archive")
    try:
        with quiet():
            if _starts_as_dicom(place):
                _check_inflated(place)
                return pydicom.dcmread(place)
            if _starts_with_elements(place):
                return pydicom.dcmread(place, force=True)
    except ImageError:
        raise
    except OSError:
        raise ImageError(f"{place.name} cannot be opened; check the path and its permissions") from None
    except Exception as damage:
        # damaged bytes make the parser raise nearly anything; the kind is kept for whoever must find out why
        raise refusal from damage
    raise refusal


def _name_syntax(dataset: Dataset) -> None:
    """Write down the transfer syntax the parser worked out for a file that does not name its own."""
    implicit, little = dataset.original_encoding
    if getattr(dataset, "file_meta", None) is None:
        dataset.file_meta = FileMetaDataset()
    if "TransferSyntaxUID" not in dataset.file_meta:
        plain = ExplicitVRLittleEndian if little else ExplicitVRBigEndian
        dataset.file_meta.TransferSyntaxUID = ImplicitVRLittleEndian if implicit else plain


def _starts_as_dicom(place: Path) -> bool:
    with place.open("rb") as file:
        return file.read(PREAMBLE_BYTES).endswith(b"DICM")


def _starts_with_elements(place: Path) -> bool:
    """Whether a file without preamble opens with group 2 or group 8, in either byte order."""
    with place.open("rb") as file:
        return file.read(2) in (b"\x02\x00", b"\x08\x00", b"\x00\x02", b"\x00\x08")


def _check_inflated(place: Path) -> None:
    """Refuse a deflated file that would unpack beyond the limit, before it is unpacked."""
    try:
        meta = read_file_meta_info(place)
    except InvalidDicomError:
        return
    if meta.get("TransferSyntaxUID") != DeflatedExplicitVRLittleEndian:
        return
    start = PREAMBLE_BYTES + GROUP_LENGTH_BYTES + int(meta.FileMetaInformationGroupLength)
    unpack = zlib.decompressobj(-zlib.MAX_WBITS)
    unpack.decompress(place.read_bytes()[start:], MAX_BYTES)
    if unpack.unconsumed_tail:
        raise ImageError(f"{place.name} unpacks to more than {MAX_BYTES // 2**20} MB; export single images")
