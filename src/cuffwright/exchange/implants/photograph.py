"""Codes found on a photograph of a label."""

from io import BytesIO

import zxingcpp
from PIL import Image, UnidentifiedImageError

from cuffwright.case.errors import FormatError

LARGEST = 20_000_000
"""Bytes of the largest photograph that is opened."""

WIDEST = 6000
"""Pixels along the longer edge of the largest photograph that is looked at."""

KINDS = zxingcpp.barcode_formats_from_str("DataMatrix,Code128,Code39,QRCode")
"""The kinds of code found on implant labels."""


def read_photograph(content: bytes) -> list[str]:
    """The texts of all codes on a photograph (PNG or JPEG), each as a scanner would send it.

    A code of a GS1 label begins with its symbology prefix. An empty list when no code is found: nothing is guessed.

    Raises
    ------
    FormatError
        When it is no photograph, or larger than one is.
    """
    if len(content) > LARGEST:
        raise FormatError(f"the photograph has {len(content)} bytes, more than {LARGEST}; take a smaller one")
    try:
        with Image.open(BytesIO(content), formats=("PNG", "JPEG")) as picture:
            if max(picture.size) > WIDEST:
                raise FormatError(f"the photograph is wider than {WIDEST} pixels; take a smaller one")
            grey = picture.convert("L")
    except (UnidentifiedImageError, OSError, Image.DecompressionBombError, SyntaxError, ValueError) as wrong:
        if isinstance(wrong, FormatError):
            raise
        raise FormatError("the file is no PNG or JPEG photograph; take the picture again or scan the label") from None
    found = zxingcpp.read_barcodes(grey, formats=KINDS, text_mode=zxingcpp.TextMode.Plain)
    return [_sent(code) for code in found if code.valid]


def _sent(code: zxingcpp.Barcode) -> str:
    text = code.bytes.decode("latin-1")
    return code.symbology_identifier + text if code.content_type == zxingcpp.ContentType.GS1 else text
