"""Stored pixel values of one frame, or a sentence: never a picture from broken data."""

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydicom.pixels.utils import get_expected_length, pixel_array
from pydicom.uid import (
    DeflatedExplicitVRLittleEndian,
    ExplicitVRBigEndian,
    ExplicitVRLittleEndian,
    ImplicitVRLittleEndian,
    JPEGLSLossless,
    JPEGLSNearLossless,
    RLELossless,
)

from cuffwright.case.errors import ImageError
from cuffwright.imaging.header import PIXEL_KEYWORDS, Header, quiet

MAX_SAMPLES = 2**26
"""Numerical choice: the most values one frame may hold, so that a false header cannot claim all memory."""

DECODE_SECONDS = 60
"""Numerical choice: how long a decoder running apart may take for one frame."""

PLAIN = frozenset({ImplicitVRLittleEndian, ExplicitVRLittleEndian, ExplicitVRBigEndian, DeflatedExplicitVRLittleEndian})
STURDY: dict[str, str] = {RLELossless: "pydicom", JPEGLSLossless: "pyjpegls", JPEGLSNearLossless: "pyjpegls"}
"""Compressions whose decoder answers damaged data with an exception; all others are decoded apart."""


def check_pixel_data(header: Header, name: str) -> tuple[str, ...]:
    """Check size and length before anything is decoded; returns notes such as surplus bytes.

    Raises
    ------
    ImageError
        When rows, columns or frames are unusable, the frame is too large, or data are missing.
    """
    rows, columns, frames = header.whole("Rows"), header.whole("Columns"), header.frames
    if frames is None:
        raise ImageError(f"{name} does not say how many frames it holds; export it again")
    if not rows or not columns or rows < 0 or columns < 0:
        raise ImageError(f"{name} does not say how many rows and columns it holds; export it again")
    if not 0 <= header.frame < frames:
        raise ImageError(f"{name} has {frames} frame(s), so there is no frame {header.frame + 1}; choose another")
    if rows * columns * (header.whole("SamplesPerPixel") or 1) > MAX_SAMPLES:
        raise ImageError(f"{name} claims {rows} by {columns} pixels, more than can be read; check the file")
    stored = next((header.dataset[k].value for k in PIXEL_KEYWORDS if k in header.dataset), None)
    held = len(stored) if isinstance(stored, bytes) else 0
    if held == 0:
        raise ImageError(f"{name} has no pixel data left in it; export it again")
    if _syntax(header) not in PLAIN:
        return ()
    return _check_length(header, name, held)


def _check_length(header: Header, name: str, held: int) -> tuple[str, ...]:
    try:
        with quiet():
            expected = get_expected_length(header.dataset)
    except Exception as damage:
        # a missing or malformed group 0028 element raises whatever its conversion raises
        raise ImageError(f"{name} does not describe its pixel data; export it again") from damage
    if held < expected:
        raise ImageError(f"{name} is truncated: {held} of {expected} bytes of the picture are left; copy it again")
    return ("surplus bytes follow the picture and are ignored",) if held > expected + expected % 2 else ()


def _syntax(header: Header) -> str:
    return str(header.dataset.file_meta.get("TransferSyntaxUID", ""))


def stored_values(path: Path, header: Header) -> NDArray[np.generic]:
    """Decode the header's frame of ``path``: rows x columns, or rows x columns x 3 for colour.

    Raises
    ------
    ImageError
        When the data cannot be decoded, or decode to another size than the header says.
    """
    syntax = _syntax(header)
    try:
        if syntax in PLAIN or syntax in STURDY:
            with quiet():
                values: NDArray[np.generic] = pixel_array(
                    header.dataset, index=header.frame, decoding_plugin=STURDY.get(syntax, "")
                )
        else:
            values = _decoded_apart(path, header.frame)
    except Exception as damage:
        # decoders raise nearly anything on damaged data; the cause is kept for whoever must find out why
        raise ImageError(
            f"the picture in {path.name} cannot be decoded (damaged, or a compression that is not supported); "
            "export it uncompressed"
        ) from damage
    if values.shape[:2] != (header.whole("Rows"), header.whole("Columns")):
        raise ImageError(f"the picture in {path.name} decodes to another size than its header says; export it again")
    return values


def _decoded_apart(path: Path, frame: int) -> NDArray[np.generic]:
    script = Path(__file__).with_name("decoder_apart.py")
    # -P keeps the working directory off the module path, where a folder could shadow a decoder's own module
    command = [sys.executable, "-P", str(script), str(path.resolve()), str(frame)]
    ran = subprocess.run(command, capture_output=True, timeout=DECODE_SECONDS, check=True)
    loaded: NDArray[np.generic] = np.load(io.BytesIO(ran.stdout), allow_pickle=False)
    return loaded
