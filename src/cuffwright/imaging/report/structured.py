"""Readings and the headers of their images to one structured report: template 1500, Comprehensive 3D SR.

Import this file only where a report is written: the library it stands on is large.

The report is unverified and says so: a reading is a plan's measure, and only a named clinician could sign it. The
uncertainty of a value is one standard deviation to either side. Marks are coordinates in the image with the corner of
the first pixel at 0, half a pixel beside the convention used inside this program.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

import highdicom.sr as sr
import numpy as np
import pydicom
from pydicom.dataset import Dataset
from pydicom.sr.codedict import codes
from pydicom.uid import UID, generate_uid

from cuffwright import __version__
from cuffwright.case.errors import FormatError
from cuffwright.case.identity import Side
from cuffwright.imaging.header import quiet
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import Reading
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.report.codes import PROCEDURE, SIDES, UNITS, method_code, name_code, site_code

CORNER_PX = 0.5
"""Numerical choice: the centre of the first pixel in a report's coordinates (PS3.3, C.18.6.1.1)."""

SERIES_NUMBER = 9500
"""Numerical choice: number of the report's own series within the study."""

EMPTY_IF_ABSENT = (
    "PatientName",
    "PatientID",
    "PatientBirthDate",
    "PatientSex",
    "StudyDate",
    "StudyTime",
    "StudyID",
    "AccessionNumber",
    "ReferringPhysicianName",
)
"""Attributes a report takes over from its images and that must be there, if only empty (type 2)."""


def write_report(
    target: Path,
    readings: Sequence[Reading],
    pictures: Mapping[str, Picture],
    side: Side,
    *,
    series_uid: str,
    sop_instance_uid: str,
    device_uid: str,
) -> Path:
    """Write readings as one structured report.

    Parameters
    ----------
    target
        The file to write.
    readings
        All of one study.
    pictures
        The pictures they stand on, by SOP Instance UID.
    side
        Of the shoulder.
    series_uid, sop_instance_uid, device_uid
        New UIDs for the report's series, the report, and this program's installation.

    Raises
    ------
    FormatError
        When there is no reading, an image is missing, the images belong to several studies, or cannot be referenced.
    """
    if not readings:
        raise FormatError("there is no reading to report; measure something first")
    lost = [r.title for r in readings if r.sop_instance_uid not in pictures]
    if lost:
        raise FormatError(f"the image of {lost[0].lower()} is not among those given; hand over all images read from")
    evidence = [_evidence(pictures[uid]) for uid in dict.fromkeys(r.sop_instance_uid for r in readings)]
    if len({str(d.get("StudyInstanceUID", "")) for d in evidence}) != 1:
        raise FormatError("the readings stand on images of several studies; report each study by itself")
    report = _report(readings, pictures, side, evidence, series_uid, sop_instance_uid, device_uid)
    pydicom.dcmwrite(target, report, enforce_file_format=True)
    return target


def _report(
    readings: Sequence[Reading],
    pictures: Mapping[str, Picture],
    side: Side,
    evidence: list[Dataset],
    series_uid: str,
    sop_instance_uid: str,
    device_uid: str,
) -> Dataset:
    try:
        with quiet():
            device = sr.DeviceObserverIdentifyingAttributes(uid=device_uid, name=f"cuffwright {__version__}")
            observer = sr.ObserverContext(observer_type=codes.DCM.Device, observer_identifying_attributes=device)
            content = sr.MeasurementReport(
                observation_context=sr.ObservationContext(observer_device_context=observer),
                procedure_reported=PROCEDURE,
                imaging_measurements=[_group(one, pictures[one.sop_instance_uid], side) for one in readings],
            )
            return sr.Comprehensive3DSR(
                evidence=evidence,
                content=content[0],
                series_instance_uid=series_uid,
                series_number=SERIES_NUMBER,
                sop_instance_uid=sop_instance_uid,
                instance_number=1,
                manufacturer="cuffwright",
                is_complete=True,
                is_final=False,
                is_verified=False,
            )
    except (AttributeError, TypeError, ValueError, KeyError) as damage:
        raise FormatError(f"the images cannot be referenced in a report ({damage}); export them again") from damage


def _group(reading: Reading, picture: Picture, side: Side) -> sr.MeasurementsAndQualitativeEvaluations:
    """One reading as a measurement group: name, value, uncertainty, place, method, marks on their image."""
    wanted = guide(reading.guide)
    site = sr.FindingSite(anatomic_location=site_code(wanted), laterality=SIDES[side])
    measured = sr.Measurement(
        name=name_code(wanted),
        value=reading.value,
        unit=UNITS[reading.unit],
        method=method_code(reading.plane),
        properties=sr.MeasurementProperties(
            upper_measurement_uncertainty=reading.sd, lower_measurement_uncertainty=reading.sd
        ),
        referenced_coordinates=_marks(reading, picture),
    )
    uid = UID(generate_uid(entropy_srcs=[reading.sop_instance_uid, reading.guide, repr(reading.rounds)]))
    return sr.MeasurementsAndQualitativeEvaluations(
        tracking_identifier=sr.TrackingIdentifier(uid=uid, identifier=reading.title),
        finding_type=name_code(wanted),
        finding_sites=[site],
        measurements=[measured],
    )


def _marks(reading: Reading, picture: Picture) -> list[sr.CoordinatesForMeasurement]:
    frames = [picture.frame + 1] if picture.frames > 1 else None
    found: list[sr.CoordinatesForMeasurement] = []
    for marks in reading.rounds[0].values():
        points = np.array(marks) + CORNER_PX
        kind = "POINT" if len(points) == 1 else "POLYLINE"
        if kind == "POLYLINE":
            points = np.vstack([points, points[:1]])
        image = sr.SourceImageForRegion(picture.sop_class_uid, picture.sop_instance_uid, frames)
        found.append(sr.CoordinatesForMeasurement(graphic_type=kind, graphic_data=points, source_image=image))
    return found


def _evidence(picture: Picture) -> Dataset:
    """The image's header, with what a report takes over from it, if only empty."""
    try:
        with quiet():
            header = pydicom.dcmread(picture.path, stop_before_pixels=True, force=True)
            for keyword in EMPTY_IF_ABSENT:
                if keyword not in header:
                    setattr(header, keyword, "")
    except Exception as damage:
        # a file that changed since it was read raises nearly anything
        raise FormatError(f"{picture.path.name} can no longer be read; import it again") from damage
    return header
