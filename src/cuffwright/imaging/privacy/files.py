"""One image file stripped and written, with what was done said inside it and what remains to be looked at said here."""

from dataclasses import dataclass
from pathlib import Path

import pydicom
from pydicom.config import disable_value_validation
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.uid import UID

from cuffwright.case.errors import ImageError
from cuffwright.imaging.header import Header, open_header, quiet
from cuffwright.imaging.privacy.stripping import Stripper
from cuffwright.imaging.scale import SLICES

BASIC = ("113100", "Basic Application Confidentiality Profile")
CHARACTERISTICS = ("113108", "Retain Patient Characteristics Option")


@dataclass(frozen=True)
class Stripped:
    """A written file: its place, its new SOP Instance UID, and what a person must still look at."""

    place: Path
    sop_instance_uid: str
    warnings: tuple[str, ...]


def strip_file(source: Path, target: Path, stripper: Stripper) -> Stripped:
    """Write a stripped copy of one image file.

    Parameters
    ----------
    source
        Any image that can be opened; it is not changed.
    target
        The file to write; it should carry a name that says nothing of the patient.
    stripper
        The same for all files of an import.

    Raises
    ------
    ImageError
        When the file is no readable image, or its contents cannot be written again.
    """
    header = open_header(source)
    warnings = burned_in(header)
    dataset = header.dataset
    with quiet(), disable_value_validation():
        stripper.strip(dataset)
        _say_what_was_done(dataset, stripper)
        dataset.file_meta = _meta(dataset)
        dataset.preamble = b"\0" * 128
        try:
            pydicom.dcmwrite(target, dataset, enforce_file_format=True)
        except Exception as damage:
            # damaged values that were readable may still not be writable, and raise nearly anything
            target.unlink(missing_ok=True)
            raise ImageError(f"{source.name} cannot be written without its identifiers; export it again") from damage
    return Stripped(target, str(dataset.SOPInstanceUID), warnings)


def burned_in(header: Header) -> tuple[str, ...]:
    """Whether text may stand in the pixels, which are not cleaned."""
    said = header.text("BurnedInAnnotation").upper()
    if said == "YES":
        return ("text is burned into the picture and may name the patient; look at it before it leaves the house",)
    if said == "NO" or header.text("SOPClassUID") in SLICES:
        return ()
    return ("the file does not say whether text is burned into the picture; look at it before it leaves the house",)


def _say_what_was_done(dataset: Dataset, stripper: Stripper) -> None:
    codes = [BASIC, CHARACTERISTICS] if stripper.keep_characteristics else [BASIC]
    items = []
    for value, meaning in codes:
        item = Dataset()
        item.CodeValue, item.CodingSchemeDesignator, item.CodeMeaning = value, "DCM", meaning
        items.append(item)
    dataset.PatientIdentityRemoved = "YES"
    dataset.DeidentificationMethod = "PS3.15 Annex E, basic profile 2026c"
    dataset.DeidentificationMethodCodeSequence = items
    dataset.LongitudinalTemporalInformationModified = "REMOVED"


def _meta(dataset: Dataset) -> FileMetaDataset:
    """File meta of our own: what was there may name the sender."""
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = UID(str(dataset.SOPClassUID))
    meta.MediaStorageSOPInstanceUID = UID(str(dataset.get("SOPInstanceUID", "")))
    meta.TransferSyntaxUID = UID(str(dataset.file_meta.TransferSyntaxUID))
    return meta
