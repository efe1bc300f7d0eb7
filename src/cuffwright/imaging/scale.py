"""What a pixel is worth in millimetres, in which plane, and how that is known: never a bare number.

Rules: PS3.3, 10.7 (basic pixel spacing calibration), C.7.6.2 (image plane), C.7.6.16.2.1 (pixel measures),
C.8.5.5 (ultrasound regions), C.8.8.2 (RT image). Every spacing pair is row spacing first, column spacing second.
"""

import math
from dataclasses import dataclass
from typing import Literal

from pydicom import uid

from cuffwright.case.errors import ImageError
from cuffwright.imaging.header import Header
from cuffwright.imaging.slice_plane import slice_plane_of

Plane = Literal[
    "patient", "calibrated-fiducial", "calibrated-geometry", "calibrated-unknown", "detector", "unknown", "none"
]
"""Where the spacing holds; lengths are given in the first four only, and in the fourth after confirmation."""

MEASURABLE: frozenset[Plane] = frozenset(
    {"patient", "calibrated-fiducial", "calibrated-geometry", "calibrated-unknown"}
)

SLICES = frozenset(
    {
        uid.CTImageStorage,
        uid.MRImageStorage,
        uid.EnhancedCTImageStorage,
        uid.EnhancedMRImageStorage,
        uid.LegacyConvertedEnhancedCTImageStorage,
        uid.LegacyConvertedEnhancedMRImageStorage,
    }
)
PROJECTIONS = frozenset(
    {
        uid.ComputedRadiographyImageStorage,
        uid.DigitalXRayImageStorageForPresentation,
        uid.DigitalXRayImageStorageForProcessing,
        uid.XRayAngiographicImageStorage,
        uid.XRayRadiofluoroscopicImageStorage,
    }
)
ULTRASOUND = frozenset({uid.UltrasoundImageStorage, uid.UltrasoundMultiFrameImageStorage, "1.2.840.10008.5.1.4.1.1.6"})

CENTIMETRES = 3
"""Numerical choice: code of the unit cm in an ultrasound region (PS3.3, C.8.5.5.1.15)."""

MM_PER_CM = 10.0
"""Numerical choice: definition of the centimetre."""

TWO_DIMENSIONAL = 1
"""Numerical choice: code of a two-dimensional ultrasound region (PS3.3, C.8.5.5.1.1)."""

SAME_SPACING = 1e-6
"""Numerical choice: relative difference below which two spacings written as text are the same number."""


@dataclass(frozen=True)
class Region:
    """A part of an ultrasound image with its own scale; bounds in pixels, both ends inside."""

    left: float
    top: float
    right: float
    bottom: float
    row_mm: float
    col_mm: float

    def holds(self, x: float, y: float) -> bool:
        """Whether the pixel position lies in the region."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom


@dataclass(frozen=True)
class Scale:
    """Millimetres per pixel down (``row_mm``) and across (``col_mm``), the plane they hold in, and their source.

    Both are ``None`` when nothing usable is written. ``regions`` is filled for ultrasound only.
    """

    row_mm: float | None
    col_mm: float | None
    plane: Plane
    source: str
    warnings: tuple[str, ...] = ()
    regions: tuple[Region, ...] = ()

    def spacing_at(self, *points: tuple[float, float]) -> tuple[float, float]:
        """Row and column spacing in mm that holds at all of the points.

        Raises
        ------
        ImageError
            When the plane allows no length, or the points do not share one ultrasound region.
        """
        if self.plane not in MEASURABLE or self.row_mm is None or self.col_mm is None:
            raise ImageError(_refusal(self))
        if not self.regions:
            return self.row_mm, self.col_mm
        for region in self.regions:
            if all(region.holds(x, y) for x, y in points):
                return region.row_mm, region.col_mm
        raise ImageError(
            "the points do not lie in one scaled region of the ultrasound image, so no length can be given; "
            "mark both inside the same region"
        )


def _refusal(scale: Scale) -> str:
    remedy = {
        "detector": "its spacing is that of the detector; mark an object of known size or enter the magnification",
        "unknown": "whether its spacing was corrected cannot be known; mark an object of known size",
    }.get(scale.plane, f"{scale.source}; use another image or type the value")
    return f"the image carries no pixel spacing in the patient's plane, so no length can be given; {remedy}"


def scale_of(header: Header) -> Scale:
    """Judge the spacing written in a header, for the header's own frame."""
    kind = header.text("SOPClassUID")
    if kind in SLICES:
        return _of_slice(header)
    if kind in PROJECTIONS:
        return _of_projection(header)
    if kind in ULTRASOUND:
        return _of_ultrasound(header)
    if kind == uid.RTImageStorage:
        return _of_rt_image(header)
    if header.numbers("NominalScannedPixelSpacing"):
        return Scale(None, None, "none", "its spacing is that of the scanned page, not of the patient")
    return Scale(None, None, "none", "this kind of image carries no scale of the patient")


def pair(header: Header, keyword: str) -> tuple[float, float] | None:
    """Row and column spacing in mm, or nothing unless both are finite and above zero."""
    found = header.numbers(keyword)
    if len(found) != 2 or not all(math.isfinite(v) and v > 0 for v in found):
        return None
    return found[0], found[1]


def _same(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(math.isclose(a, b, rel_tol=SAME_SPACING) for a, b in zip(one, other, strict=True))


def _of_slice(header: Header) -> Scale:
    # frame type stands beside image type in multi-frame objects, and either may name the localizer
    frame_type = header.group("CTImageFrameTypeSequence") or header.group("MRImageFrameTypeSequence")
    kinds = {*header.words("ImageType"), *(frame_type.words("FrameType") if frame_type else ())}
    if "LOCALIZER" in kinds:
        return Scale(None, None, "none", "it is a localizer, made for planning the scan")
    if "MOSAIC" in kinds:
        return Scale(None, None, "none", "it is a mosaic of many slices in one picture")
    measures = header.group("PixelMeasuresSequence")
    found = pair(measures or header, "PixelSpacing")
    if found is None:
        return Scale(None, None, "none", "no usable pixel spacing is written in it")
    if slice_plane_of(header, *found) is None:
        return Scale(None, None, "none", "its position or orientation in the patient is not written")
    notes = []
    if any("PROJECTION" in word or word in ("MIP", "MAXIMUM") for word in kinds):
        notes.append("a projection of a volume: depth is lost and lengths out of its plane read short")
    if found == (1.0, 1.0):
        notes.append("a spacing of exactly 1 by 1 mm is often a placeholder; check it")
    source = "pixel measures of the frame" if measures else "pixel spacing of the slice"
    return Scale(*found, "patient", source, tuple(notes))


def _of_projection(header: Header) -> Scale:
    patient, detector = pair(header, "PixelSpacing"), pair(header, "ImagerPixelSpacing")
    mode = header.text("PixelSpacingCalibrationType").upper()
    if patient and mode in ("FIDUCIAL", "GEOMETRY"):
        plane: Plane = "calibrated-fiducial" if mode == "FIDUCIAL" else "calibrated-geometry"
        depth = "the fiducial" if mode == "FIDUCIAL" else "the assumed depth"
        notes = [f"valid only at the depth of {depth} and near the central ray"]
        if detector and _same(patient, detector):
            notes.append("said to be calibrated, yet equal to the detector's spacing; check it")
        return Scale(*patient, plane, f"pixel spacing calibrated by {mode.lower()}", tuple(notes))
    if patient and detector and not _same(patient, detector):
        note = "calibrated in a way the image does not name; confirm it before measuring"
        return Scale(*patient, "calibrated-unknown", "pixel spacing that differs from the detector's", (note,))
    if detector:
        return Scale(*detector, "detector", "imager pixel spacing", ("too long by the magnification",))
    if patient:
        note = "pixel spacing alone: whether it was corrected cannot be known"
        return Scale(*patient, "unknown", "pixel spacing without a calibration type", (note,))
    return Scale(None, None, "none", "no usable pixel spacing is written in it")


def _of_ultrasound(header: Header) -> Scale:
    regions = tuple(r for item in header.items("SequenceOfUltrasoundRegions") if (r := _region(item)))
    if not regions:
        return Scale(None, None, "none", "no region of it is scaled in centimetres")
    first = regions[0]
    equal = all(_same((r.row_mm, r.col_mm), (first.row_mm, first.col_mm)) for r in regions)
    notes = () if equal else ("its regions have different scales; each length uses its own region",)
    return Scale(first.row_mm, first.col_mm, "patient", "ultrasound region", notes, regions)


def _region(item: Header) -> Region | None:
    units = (item.whole("PhysicalUnitsXDirection"), item.whole("PhysicalUnitsYDirection"))
    across, down = item.number("PhysicalDeltaX"), item.number("PhysicalDeltaY")
    edges = [item.number(f"RegionLocation{name}") for name in ("MinX0", "MinY0", "MaxX1", "MaxY1")]
    if units != (CENTIMETRES, CENTIMETRES) or item.whole("RegionSpatialFormat") != TWO_DIMENSIONAL:
        return None
    if not across or not down or any(edge is None for edge in edges):
        return None
    left, top, right, bottom = (edge or 0.0 for edge in edges)
    # a negative step is legal: it names the direction, not the size
    return Region(left, top, right, bottom, abs(down) * MM_PER_CM, abs(across) * MM_PER_CM)


def _of_rt_image(header: Header) -> Scale:
    found = pair(header, "ImagePlanePixelSpacing")
    image_mm, axis_mm = header.number("RTImageSID"), header.number("RadiationMachineSAD")
    if found is None:
        return Scale(None, None, "none", "no usable pixel spacing is written in it")
    if not image_mm or not axis_mm or image_mm <= 0 or axis_mm <= 0:
        return Scale(*found, "detector", "image plane pixel spacing", ("too long by the magnification",))
    factor = axis_mm / image_mm
    note = "valid only at the machine's axis and near the central ray"
    source = "image plane pixel spacing brought to the axis"
    return Scale(found[0] * factor, found[1] * factor, "calibrated-geometry", source, (note,))
