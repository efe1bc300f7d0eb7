"""One image or frame, described: what it shows of whom, how large its pixels are, and what is odd about it."""

import hashlib
import math
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side
from cuffwright.imaging.fingerprint import Fingerprint, fingerprint, read_date
from cuffwright.imaging.header import Header, open_header
from cuffwright.imaging.pixels import check_pixel_data, stored_values
from cuffwright.imaging.scale import Plane, Scale, scale_of
from cuffwright.imaging.slice_plane import SlicePlane, Vector, slice_plane_of

MIDLINE_MM = 60.0
"""Numerical choice: an image whose centre lies nearer to the midline than this says nothing of the side."""

SHORT_UID_LETTERS = 10
"""Numerical choice: letters of the digest that names an image in a trace."""

MAX_FRAMES = 10_000
"""Numerical choice: the most frames of one file that are described, so that a false header cannot claim all memory."""

DATE_KEYWORDS = ("AcquisitionDate", "SeriesDate", "ContentDate", "StudyDate")


@dataclass(frozen=True)
class Picture:
    """One frame of one DICOM image, without its pixels and without any identifier in clear.

    ``rows`` and ``columns`` in pixels; ``slice_plane`` is there only when the scale holds in the patient's plane;
    ``side_tag`` is what the image says of its side, ``side_by_position`` what its place in the patient suggests;
    ``slice_step_mm`` is the spacing tag, for telling how far off a slice may be, never for measuring; ``pixel_aspect``
    is the height of a pixel over its width, as far as it is said.
    """

    path: Path
    sop_instance_uid: str
    series_uid: str
    frame_of_reference_uid: str
    modality: str
    rows: int
    columns: int
    frame: int
    frames: int
    scale: Scale
    slice_plane: SlicePlane | None
    side_tag: Side | None
    side_by_position: Side | None
    patient: Fingerprint
    image_date: date | None
    slice_step_mm: float | None
    patient_orientation: tuple[str, ...]
    warnings: tuple[str, ...]
    study_uid: str = ""
    sop_class_uid: str = ""
    pixel_aspect: float = 1.0

    @property
    def plane(self) -> Plane:
        """The plane in which the spacing holds."""
        return self.scale.plane

    @property
    def short_uid(self) -> str:
        """A short name for traces: the start of a digest of the SOP Instance UID, since UIDs share both ends."""
        return hashlib.sha256(self.sop_instance_uid.encode()).hexdigest()[:SHORT_UID_LETTERS]

    def patient_point(self, x: float, y: float) -> Vector:
        """Patient coordinates in mm (left, posterior, head) of column ``x``, row ``y``.

        Raises
        ------
        ImageError
            When the image has no place in the patient, or the point lies outside it.
        """
        self.check_inside((x, y))
        if self.slice_plane is None:
            raise ImageError("the image carries no position in the patient, nor does the point; use a CT or MR slice")
        return self.slice_plane.patient_point(x, y)

    def check_inside(self, *points: tuple[float, float]) -> None:
        """Refuse points that are no finite numbers or lie off the outermost pixels; raises ImageError."""
        for x, y in points:
            if not (math.isfinite(x) and math.isfinite(y)):
                raise ImageError("a marked point is not a number; mark it again")
            if not (-0.5 <= x <= self.columns - 0.5 and -0.5 <= y <= self.rows - 0.5):
                raise ImageError(
                    f"the point ({x:g},{y:g}) lies outside the image of {self.columns} by {self.rows} pixels; "
                    "mark it on the image"
                )


def read_picture(path: Path | str, *, frame: int = 0, salt: bytes | None = None) -> Picture:
    """Read what one frame of a DICOM image says, without decoding its pixels.

    Parameters
    ----------
    path
        The file.
    frame
        Index from 0.
    salt
        Secret with which name, identifier and birth date are hashed; one of this run when not given.

    Raises
    ------
    ImageError
        When it is no readable image, or its picture data are missing or cut short.
    """
    place = Path(path)
    return _described(place, open_header(place, frame), salt)


def read_pictures(path: Path | str, *, salt: bytes | None = None) -> tuple[Picture, ...]:
    """Read what every frame of a DICOM image says; the file is opened once.

    Raises
    ------
    ImageError
        As :func:`read_picture`, and when it claims more than :data:`MAX_FRAMES` frames.
    """
    place = Path(path)
    header = open_header(place)
    frames = header.frames or 1
    if frames > MAX_FRAMES:
        raise ImageError(f"{place.name} claims {frames} frames, more than can be read; check the file")
    return tuple(_described(place, Header(header.dataset, frame), salt) for frame in range(frames))


def _described(place: Path, header: Header, salt: bytes | None) -> Picture:
    surplus = check_pixel_data(header, place.name)
    scale = scale_of(header)
    plane = None
    if scale.plane == "patient" and not scale.regions and scale.row_mm and scale.col_mm:
        plane = slice_plane_of(header, scale.row_mm, scale.col_mm)
    rows, columns = header.whole("Rows") or 0, header.whole("Columns") or 0
    when, date_notes = _image_date(header)
    step = header.group("PixelMeasuresSequence") or header
    return Picture(
        path=place,
        sop_instance_uid=header.text("SOPInstanceUID"),
        series_uid=header.text("SeriesInstanceUID"),
        frame_of_reference_uid=header.text("FrameOfReferenceUID"),
        modality=header.code("Modality"),
        rows=rows,
        columns=columns,
        frame=header.frame,
        frames=header.frames or 1,
        scale=scale,
        slice_plane=plane,
        side_tag=_side_tag(header),
        side_by_position=_side_by_position(plane, rows, columns),
        patient=fingerprint(
            header.text("PatientName"), header.text("PatientID"), header.text("PatientBirthDate"), salt
        ),
        image_date=when,
        slice_step_mm=step.number("SpacingBetweenSlices") or step.number("SliceThickness"),
        patient_orientation=header.words("PatientOrientation"),
        warnings=(*surplus, *scale.warnings, *date_notes, *_oddities(header)),
        study_uid=header.text("StudyInstanceUID"),
        sop_class_uid=header.text("SOPClassUID"),
        pixel_aspect=_aspect(scale, header),
    )


def read_stored(picture: Picture) -> tuple[NDArray[np.generic], Header]:
    """The stored values of the picture's frame and the header that tells what they mean; raises ImageError."""
    header = open_header(picture.path, picture.frame)
    check_pixel_data(header, picture.path.name)
    return stored_values(picture.path, header), header


def _image_date(header: Header) -> tuple[date | None, tuple[str, ...]]:
    found = [when for keyword in DATE_KEYWORDS if (when := read_date(header.text(keyword)))]
    if not found:
        return None, ("it carries no date",)
    if len(set(found)) == 1:
        return found[0], ()
    return found[0], (f"its dates disagree, from {min(found)} to {max(found)}; {found[0]} is taken",)


def _side_tag(header: Header) -> Side | None:
    anatomy = header.group("FrameAnatomySequence")
    words = (
        header.words("ImageLaterality"),
        anatomy.words("FrameLaterality") if anatomy else (),
        header.words("Laterality"),
    )
    found = {word for group in words for word in group if word in ("R", "L")}
    if len(found) != 1:
        return None
    return "right" if found == {"R"} else "left"


def _side_by_position(plane: SlicePlane | None, rows: int, columns: int) -> Side | None:
    if plane is None:
        return None
    return side_of(plane.patient_point((columns - 1) / 2, (rows - 1) / 2)[0])


def side_of(left_mm: float) -> Side | None:
    """The side a place suggests that lies so far to the patient's left; None near the middle."""
    if abs(left_mm) < MIDLINE_MM:
        return None
    return "left" if left_mm > 0 else "right"


def _aspect(scale: Scale, header: Header) -> float:
    if scale.row_mm and scale.col_mm:
        return scale.row_mm / scale.col_mm
    ratio = header.numbers("PixelAspectRatio")
    return ratio[0] / ratio[1] if len(ratio) == 2 and min(ratio) > 0 else 1.0


def _oddities(header: Header) -> tuple[str, ...]:
    notes = []
    if header.text("LossyImageCompression") == "01":
        ratio = header.numbers("LossyImageCompressionRatio")
        notes.append(f"lossy compression{f', {ratio[-1]:g} to 1' if ratio else ''}: fine edges may have moved")
    if header.text("BurnedInAnnotation").upper() == "YES":
        notes.append("text is burned into the picture and may name the patient")
    if header.text("PresentationIntentType").upper() == "FOR PROCESSING":
        notes.append("meant for processing, not for reading")
    if "DERIVED" in header.words("ImageType")[:1]:
        notes.append("derived from other images, not as acquired")
    if any(0x6000 <= element.group <= 0x60FF for element in header.dataset.keys()):  # noqa: SIM118 - the keys are tags
        notes.append("overlays are stored with it and are not drawn")
    sides = header.words("ImageLaterality"), header.words("Laterality")
    if all(sides) and sides[0] != sides[1]:
        notes.append("its two laterality tags disagree")
    if header.unreadable:
        notes.append(f"unreadable elements: {', '.join(sorted(header.unreadable))}")
    return tuple(notes)
