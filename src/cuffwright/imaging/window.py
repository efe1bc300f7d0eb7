"""Stored value to modality value to grey level: PS3.3, C.11.1 and C.11.2.

Rescale comes before the window, inversion of MONOCHROME1 last, and no picture is stretched: its aspect is handed on.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pydicom.pixels.processing import apply_color_lut, apply_modality_lut, apply_voi
from scipy.special import expit

from cuffwright.case.errors import ImageError
from cuffwright.imaging.header import Header, quiet
from cuffwright.imaging.picture import Picture, read_stored

Floats = NDArray[np.float64]

WHITE = 255.0
"""Numerical choice: the brightest of the eight-bit grey levels drawn on a screen."""


@dataclass(frozen=True)
class Window:
    """Centre and width in modality values, and the function that maps them to grey."""

    centre: float
    width: float
    function: str = "LINEAR"


@dataclass(frozen=True)
class Shown:
    """Grey levels (rows x columns) or colours (rows x columns x 3), 0 to 255, as a screen draws them.

    ``aspect`` is the height of a pixel over its width; ``window`` is ``None`` for colour and for tables.
    """

    levels: NDArray[np.uint8]
    aspect: float
    window: Window | None
    notes: tuple[str, ...]


def linear(values: NDArray[np.floating], centre: float, width: float, low: float = 0.0, high: float = WHITE) -> Floats:
    """The function LINEAR: modality values of any shape to ``low`` .. ``high``, clamped (C.11.2.1.2.1).

    Raises
    ------
    ImageError
        When the width is below 1.
    """
    if not width >= 1:
        raise ImageError(f"a linear window must be at least 1 wide, not {width:g}; choose another window")
    middle = centre - 0.5
    if width == 1:
        return np.where(values > middle, high, low)
    return np.clip(((values - middle) / (width - 1) + 0.5) * (high - low) + low, low, high)


def linear_exact(
    values: NDArray[np.floating], centre: float, width: float, low: float = 0.0, high: float = WHITE
) -> Floats:
    """The function LINEAR_EXACT: as :func:`linear` without its half steps (C.11.2.1.3.2).

    Raises
    ------
    ImageError
        When the width is not above 0.
    """
    if not width > 0:
        raise ImageError(f"an exact linear window must be wider than 0, not {width:g}; choose another window")
    return np.clip(((values - centre) / width + 0.5) * (high - low) + low, low, high)


def sigmoid(values: NDArray[np.floating], centre: float, width: float, low: float = 0.0, high: float = WHITE) -> Floats:
    """The function SIGMOID: a smooth rise of slope 1 / width at the centre, never clamped (C.11.2.1.3.1).

    Raises
    ------
    ImageError
        When the width is not above 0.
    """
    if not width > 0:
        raise ImageError(f"a sigmoid window must be wider than 0, not {width:g}; choose another window")
    return np.asarray((high - low) * expit(4 * (values - centre) / width) + low)


def modality_values(stored: NDArray[np.generic], header: Header) -> Floats:
    """Stored values through the modality table or slope and intercept, of the frame's own group where there is one.

    Raises
    ------
    ImageError
        When slope or intercept is written but is no number.
    """
    holder = header.group("PixelValueTransformationSequence") or header
    if holder.items("ModalityLUTSequence"):
        with quiet():
            return np.asarray(apply_modality_lut(stored, holder.dataset), np.float64)
    slope, intercept = holder.number("RescaleSlope"), holder.number("RescaleIntercept")
    if (holder.text("RescaleSlope") and not slope) or (holder.text("RescaleIntercept") and intercept is None):
        raise ImageError("the rescale of the image is not a usable number; export it again")
    scaled: Floats = stored.astype(np.float64) * (slope or 1.0) + (intercept or 0.0)
    return scaled


def header_window(header: Header) -> Window | None:
    """The first window written in the header or in the frame's own group."""
    holder = header.group("FrameVOILUTSequence") or header
    centres, widths = holder.numbers("WindowCenter"), holder.numbers("WindowWidth")
    if not centres or not widths or not np.isfinite(centres[0]) or not np.isfinite(widths[0]):
        return None
    return Window(centres[0], widths[0], _function(holder))


def _function(holder: Header) -> str:
    """The window function a header names, LINEAR when it names none; a damaged name is no function."""
    return (holder.code("VOILUTFunction") or "UNREADABLE") if holder.text("VOILUTFunction") else "LINEAR"


def render(picture: Picture, window: Window | None = None) -> Shown:
    """Draw the picture's frame.

    Parameters
    ----------
    picture
        Its file is read again for the pixels.
    window
        In modality values; the image's own when not given, else the full range of its values.

    Raises
    ------
    ImageError
        When it cannot be decoded, or its window function or colours are not drawn here.
    """
    stored, header = read_stored(picture)
    aspect = picture.pixel_aspect
    if stored.ndim == 3 or header.code("PhotometricInterpretation") == "PALETTE COLOR":
        return Shown(_colours(stored, header), aspect, None, ())
    values = modality_values(stored, header)
    if window is None and header.items("VOILUTSequence"):
        return Shown(_inverted(_by_table(values, header), header), aspect, None, ("drawn through its own table",))
    chosen, notes = _choose(window, header, values, stored)
    return Shown(_inverted(through_window(values, chosen), header), aspect, chosen, notes)


@dataclass(frozen=True)
class Grey:
    """Modality values of one frame (rows x columns), its own window, whether low is bright, and its aspect."""

    values: NDArray[np.float32]
    window: Window
    low_is_bright: bool
    aspect: float


def grey_of(picture: Picture) -> Grey | None:
    """The picture's values, decoded once for many drawings; nothing for colour and for pictures drawn by a table.

    Raises
    ------
    ImageError
        When it cannot be decoded.
    """
    stored, header = read_stored(picture)
    photometric = header.code("PhotometricInterpretation")
    if stored.ndim == 3 or photometric == "PALETTE COLOR" or header.items("VOILUTSequence"):
        return None
    values = modality_values(stored, header)
    window, _ = _choose(None, header, values, stored)
    return Grey(values.astype(np.float32), window, photometric == "MONOCHROME1", picture.pixel_aspect)


def through_window(values: NDArray[np.floating], window: Window) -> Floats:
    """Grey levels 0 to 255 (not yet inverted) of modality values.

    Raises
    ------
    ImageError
        When the window's function is not drawn here, or its width is impossible.
    """
    functions = {"LINEAR": linear, "LINEAR_EXACT": linear_exact, "SIGMOID": sigmoid}
    if window.function not in functions:
        raise ImageError(f"the window function {window.function} is not drawn here; choose a linear window")
    return functions[window.function](values, window.centre, window.width)


def _choose(
    window: Window | None, header: Header, values: Floats, stored: NDArray[np.generic]
) -> tuple[Window, tuple[str, ...]]:
    found = window or header_window(header)
    if found is not None:
        return found, ()
    padding = header.number("PixelPaddingValue")
    seen = values[stored != padding] if padding is not None else values
    seen = seen if seen.size else values
    low, high = float(seen.min()), float(seen.max())
    exact = Window((low + high) / 2, max(high - low, 1.0), "LINEAR_EXACT")
    return exact, ("it names no window; drawn over its full range",)


def _inverted(grey: Floats, header: Header) -> NDArray[np.uint8]:
    low_is_bright = header.code("PhotometricInterpretation") == "MONOCHROME1"
    return np.rint(WHITE - grey if low_is_bright else grey).astype(np.uint8)


def _by_table(values: Floats, header: Header) -> Floats:
    table = header.items("VOILUTSequence")[0]
    descriptor = table.numbers("LUTDescriptor")
    if len(descriptor) != 3:
        raise ImageError("the grey table of the image is damaged; choose a window")
    with quiet():
        out = np.asarray(apply_voi(np.rint(values).astype(np.int64), header.dataset), np.float64)
    return np.clip(out / (2 ** descriptor[2] - 1) * WHITE, 0.0, WHITE)


def _colours(stored: NDArray[np.generic], header: Header) -> NDArray[np.uint8]:
    colours = stored
    if stored.ndim == 2:
        # the tables of a big-endian file are read in the wrong byte order, which would draw a wrong picture
        if header.dataset.original_encoding[1] is False:
            raise ImageError("a big-endian colour palette is not drawn here; export it as plain colour")
        with quiet():
            table = np.asarray(apply_color_lut(stored, header.dataset))
        colours = table >> 8 if table.dtype == np.uint16 else table
    if colours.dtype != np.uint8 and colours.max(initial=0) > WHITE:
        raise ImageError("colours deeper than eight bits are not drawn here; export it as eight-bit colour")
    return colours.astype(np.uint8)
