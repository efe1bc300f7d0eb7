"""A small invented examination as files, written once for a run of tests."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pydicom

from cuffwright.evidence.book import load_book
from cuffwright.imaging.phantom.body import InventedBody, InventedTear, mean_shoulder
from cuffwright.imaging.phantom.film import Film
from cuffwright.imaging.phantom.sections import Protocol
from cuffwright.imaging.phantom.tomography import Scan, write_ct
from cuffwright.imaging.phantom.writing import Study, write_film, write_series

TEAR = InventedTear(front=6.0, back=20.0, retraction=12.0, shape="crescent", thickness=5.0)
CORONAL = Protocol(pixels=80, pixel_mm=1.2, count=6)
SAGITTAL = Protocol(pixels=80, pixel_mm=1.2, step_mm=3.0, count=32)


@dataclass(frozen=True)
class Exam:
    """The body, and its files by kind."""

    body: InventedBody
    mr: tuple[Path, ...]
    film: Path
    ct: tuple[Path, ...]
    secondary: Path


def write_exam(folder: Path, side: str = "right") -> Exam:
    """Write two MR series, a radiograph, a CT and a secondary capture of one invented shoulder."""
    body = InventedBody(mean_shoulder(load_book()), TEAR, side)  # type: ignore[arg-type]
    study = Study(folder)
    mr = (*write_series(study, body, "coronal", CORONAL), *write_series(study, body, "sagittal", SAGITTAL))
    film = write_film(study, body, Film(pixels=96, detector_mm=1.5))[0]
    ct = write_ct(study, body, Scan(pixels=70, pixel_mm=1.6, step_mm=2.5, above_mm=35, below_mm=70))
    return Exam(body, mr, film, tuple(ct), _secondary(mr[0], study))


def _secondary(source: Path, study: Study) -> Path:
    """A screen shot of an MR slice: the class of secondary captures, no spacing, no place."""
    dataset = pydicom.dcmread(source)
    dataset.SOPClassUID = dataset.file_meta.MediaStorageSOPClassUID = pydicom.uid.SecondaryCaptureImageStorage
    dataset.SOPInstanceUID = dataset.file_meta.MediaStorageSOPInstanceUID = study.uid("secondary")
    dataset.SeriesInstanceUID = study.uid("secondary series")
    for keyword in ("PixelSpacing", "ImagePositionPatient", "ImageOrientationPatient", "FrameOfReferenceUID"):
        delattr(dataset, keyword)
    place = study.folder / "secondary.dcm"
    dataset.save_as(place)
    return place


def pixel_of(series: dict, index: int, point: np.ndarray) -> list[float]:
    """Column and row under a patient point on one picture of a series, as the page is told of it."""
    plane = series["pictures"][index]["place"]
    away = point - np.array(plane["position"])
    return [float(away @ plane["row"] / plane["col_mm"]), float(away @ plane["column"] / plane["row_mm"])]


def nearest(series: dict, point: np.ndarray) -> int:
    """The picture of a series nearest to a patient point."""
    off = [abs((point - np.array(p["place"]["position"])) @ p["place"]["normal"]) for p in series["pictures"]]
    return int(np.argmin(off))
