"""Series and radiograph of the invented body as DICOM files, every one marked invented."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pydicom
from numpy.typing import NDArray
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.uid import DigitalXRayImageStorageForPresentation, ExplicitVRLittleEndian, MRImageStorage

from cuffwright.imaging.phantom.body import InventedBody
from cuffwright.imaging.phantom.film import Exposure, Film
from cuffwright.imaging.phantom.sections import DEFAULT, Protocol, Way, draw, planes
from cuffwright.imaging.slice_plane import SlicePlane

INVENTED = "INVENTED^SHOULDER"
PATIENT_ID = "INVENTED-1"
BIRTH = "19600101"
DAY = "20260101"
WAYS: tuple[Way, ...] = ("coronal", "sagittal", "axial")
UID_BYTES = 16
"""Numerical choice: bytes of the digest that make a UID under 2.25 (PS3.5, B.2)."""


@dataclass(frozen=True)
class Study:
    """Where the files of one invented examination are written, and the seed of its noise and UIDs."""

    folder: Path
    seed: int = 1

    def uid(self, *parts: object) -> str:
        """A UID of this study; the same parts and seed give the same one."""
        digest = hashlib.sha256(repr((self.seed, *parts)).encode()).digest()[:UID_BYTES]
        return f"2.25.{int.from_bytes(digest, 'big')}"


def write_series(study: Study, body: InventedBody, way: Way, protocol: Protocol | None = None) -> list[Path]:
    """Write one MR series; returns the files in the order of their place."""
    plan = protocol or DEFAULT[way]
    number = WAYS.index(way) + 1
    rng = np.random.default_rng((study.seed, number))
    written = []
    for index, plane in enumerate(planes(body, way, plan)):
        dataset = base_dataset(study, body, MRImageStorage, "MR", number, index)
        dataset.SeriesDescription = f"INVENTED {way}"
        dataset.FrameOfReferenceUID = study.uid("space")
        dataset.PositionReferenceIndicator = ""
        _mr(dataset, plan)
        put_place(dataset, plane, plan)
        put_pixels(dataset, draw(body, plane, plan, rng), 4 * 1024)
        written.append(save(study, dataset, f"{way}_{index:03d}.dcm"))
    return written


def write_film(study: Study, body: InventedBody, film: Film | None = None) -> tuple[Path, Exposure]:
    """Write one radiograph with the spacing of its detector only, as most are; returns it with its exposure."""
    exposure = Exposure(body, film or Film())
    plan = exposure.film
    dataset = base_dataset(study, body, DigitalXRayImageStorageForPresentation, "DX", 9, 0)
    dataset.SeriesDescription = "INVENTED from in front"
    dataset.ImagerPixelSpacing = [plan.detector_mm, plan.detector_mm]
    dataset.DistanceSourceToDetector = plan.source_mm
    dataset.PresentationIntentType = "FOR PRESENTATION"
    dataset.PixelIntensityRelationship, dataset.PixelIntensityRelationshipSign = "LIN", 1
    dataset.RescaleIntercept, dataset.RescaleSlope, dataset.RescaleType = 0, 1, "US"
    dataset.PresentationLUTShape, dataset.LossyImageCompression = "IDENTITY", "00"
    dataset.BurnedInAnnotation, dataset.DetectorType = "NO", "DIRECT"
    dataset.PatientOrientation = ["L", "F"]
    dataset.ImageLaterality = body.side[0].upper()
    dataset.ViewPosition, dataset.PositionerType = "AP", "NONE"
    dataset.AcquisitionContextSequence = []
    dataset.AnatomicRegionSequence = [_code("16982005", "SCT", "Shoulder")]
    del dataset.Laterality
    put_pixels(dataset, exposure.picture(np.random.default_rng((study.seed, 9))), 4 * 1024)
    return save(study, dataset, "front.dcm"), exposure


def write_study(study: Study, body: InventedBody, ways: Sequence[Way] = WAYS) -> list[Path]:
    """Write the series asked for and a radiograph."""
    files = [place for way in ways for place in write_series(study, body, way)]
    return [*files, write_film(study, body)[0]]


def base_dataset(study: Study, body: InventedBody, kind: str, modality: str, series: int, index: int) -> Dataset:
    """What every invented file says: whose it is (nobody's), its study and series, and that it is computed."""
    dataset = Dataset()
    dataset.SOPClassUID, dataset.SOPInstanceUID = kind, study.uid(series, index)
    dataset.SpecificCharacterSet = "ISO_IR 192"
    dataset.PatientName, dataset.PatientID = INVENTED, PATIENT_ID
    dataset.PatientBirthDate, dataset.PatientSex = BIRTH, "O"
    dataset.PatientComments = "INVENTED: no person; computed from published sizes"
    dataset.StudyInstanceUID, dataset.SeriesInstanceUID = study.uid("study"), study.uid("series", series)
    dataset.StudyDate = dataset.SeriesDate = dataset.ContentDate = dataset.AcquisitionDate = DAY
    dataset.StudyTime = dataset.ContentTime = "120000"
    dataset.AccessionNumber, dataset.StudyID = "", "1"
    dataset.ReferringPhysicianName, dataset.Manufacturer = "", "INVENTED"
    dataset.StudyDescription = "INVENTED SHOULDER"
    dataset.Modality, dataset.SeriesNumber, dataset.InstanceNumber = modality, series, index + 1
    dataset.Laterality, dataset.BodyPartExamined = body.side[0].upper(), "SHOULDER"
    dataset.ImageType = ["DERIVED", "SECONDARY", "OTHER"]
    dataset.DerivationDescription = "INVENTED: computed, not acquired"
    return dataset


def _mr(dataset: Dataset, plan: Protocol) -> None:
    dataset.ScanningSequence, dataset.SequenceVariant, dataset.ScanOptions = "SE", "SK", ""
    dataset.MRAcquisitionType, dataset.RepetitionTime, dataset.EchoTime = "2D", 3000, 30
    dataset.EchoTrainLength, dataset.SliceThickness = 1, plan.step_mm
    dataset.SpacingBetweenSlices = plan.step_mm
    dataset.PatientPosition = "HFS"


def put_place(dataset: Dataset, plane: SlicePlane, plan: Protocol) -> None:
    """Write down where a slice lies."""
    dataset.ImagePositionPatient = [round(v, 6) for v in plane.position]
    dataset.ImageOrientationPatient = [round(v, 8) for v in (*plane.along_row, *plane.along_column)]
    dataset.PixelSpacing = [plan.pixel_mm, plan.pixel_mm]


def put_pixels(dataset: Dataset, values: NDArray[np.uint16], top: int) -> None:
    """Write down the picture (rows x columns), held below ``top``, with a window that shows it."""
    dataset.Rows, dataset.Columns = values.shape
    dataset.SamplesPerPixel, dataset.PhotometricInterpretation = 1, "MONOCHROME2"
    dataset.BitsAllocated, dataset.BitsStored, dataset.HighBit, dataset.PixelRepresentation = 16, 12, 11, 0
    dataset.WindowCenter, dataset.WindowWidth = (500, 1000) if dataset.Modality == "MR" else (1500, 3000)
    dataset.PixelData = np.minimum(values, top - 1).astype("<u2").tobytes()


def _code(value: str, scheme: str, meaning: str) -> Dataset:
    item = Dataset()
    item.CodeValue, item.CodingSchemeDesignator, item.CodeMeaning = value, scheme, meaning
    return item


def save(study: Study, dataset: Dataset, name: str) -> Path:
    """Write the file into the study's folder."""
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID = dataset.SOPClassUID, dataset.SOPInstanceUID
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    dataset.file_meta = meta
    study.folder.mkdir(parents=True, exist_ok=True)
    pydicom.dcmwrite(study.folder / name, dataset, enforce_file_format=True)
    return study.folder / name
