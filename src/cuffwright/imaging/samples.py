"""The packaged pictures of the demonstration: found on disk, never fetched."""

from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from cuffwright.case.errors import ImageError
from cuffwright.imaging.calibration import Point

PACKAGE = "pydicom-data"


@dataclass(frozen=True)
class Sample:
    """A packaged picture: its name here, its file, what it shows, and rough marks as a hand would set them, pixels."""

    name: str
    file: str
    shows: str
    head_marks: tuple[Point, ...] = ()


SHOULDER_MR = Sample(
    "shoulder-mr",
    "MR2_UNCR.dcm",
    "oblique coronal MR of a right shoulder, 0.195 mm pixels, no laterality tag",
    # set by eye on the drawn picture, good to about ten pixels: where to look, not what to find
    ((430.0, 380.0), (530.0, 420.0), (568.0, 500.0), (555.0, 575.0), (345.0, 430.0)),
)

SAMPLES = {
    sample.name: sample
    for sample in (
        SHOULDER_MR,
        Sample("leg-radiograph", "RG3_UNCR.dcm", "radiograph without any spacing: gives no length"),
        Sample("chest-radiograph", "RG1_UNCR.dcm", "radiograph with a spacing of zero: gives no length"),
        Sample("ultrasound", "JPGLosslessP14SV1_1s_1f_8b.dcm", "ultrasound with one scaled region"),
        Sample("enhanced-ct", "eCT_Supplemental.dcm", "two frames, spacing in the functional groups only"),
    )
}


def sample_path(name: str) -> Path:
    """The file of a packaged picture.

    Raises
    ------
    ImageError
        When there is no such sample, or the demonstration extra is not installed.
    """
    if name not in SAMPLES:
        raise ImageError(f"there is no sample picture called {name}; choose one of {', '.join(SAMPLES)}")
    wanted = SAMPLES[name].file
    remedy = "install the demonstration extra: pip install 'cuffwright[demo]'"
    try:
        listed = distribution(PACKAGE).files or []
    except PackageNotFoundError:
        raise ImageError(f"the sample pictures are not installed; {remedy}") from None
    for entry in listed:
        place = Path(str(entry.locate()))
        if entry.name == wanted and place.is_file():
            return place
    raise ImageError(f"the sample picture {name} is missing from the installed samples; {remedy}")
