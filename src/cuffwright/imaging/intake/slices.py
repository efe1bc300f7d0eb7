"""Slices of a series by index, as values and as eight-bit levels, kept ready for turning pages quickly."""

from collections import OrderedDict

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.series import Series
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.window import Grey, Shown, Window, grey_of, render, through_window

KEPT_BYTES = 128 * 1024 * 1024
"""Numerical choice: how many bytes of decoded slices are kept ready."""

WHITE = 255
"""Numerical choice: the brightest eight-bit level."""


class Slices:
    """The pictures of one series by index from 0, decoded when asked and kept while there is room.

    Parameters
    ----------
    series
        In the order of place.
    keep_bytes
        Room for decoded slices.
    """

    def __init__(self, series: Series, keep_bytes: int = KEPT_BYTES) -> None:
        self.series = series
        self._room = keep_bytes
        self._kept: OrderedDict[int, Grey | None] = OrderedDict()

    def __len__(self) -> int:
        return len(self.series)

    def values(self, index: int) -> NDArray[np.float32]:
        """Modality values (rows x columns) of one slice.

        Raises
        ------
        ImageError
            When there is no such slice, it cannot be decoded, or it has no grey values.
        """
        grey = self.grey(index)
        if grey is None:
            raise ImageError(
                "the picture is in colour or drawn by a table of its own; it has no grey values to measure"
            )
        return grey.values

    def shown(self, index: int, window: Window | None = None, *, invert: bool = False) -> Shown:
        """Eight-bit levels of one slice through ``window``, or through its own when not given.

        Raises
        ------
        ImageError
            When there is no such slice, it cannot be decoded, or the window's function is not drawn here.
        """
        grey = self.grey(index)
        if grey is None:
            return render(self._picture(index), window)
        chosen = window or grey.window
        levels = np.rint(through_window(grey.values, chosen)).astype(np.uint8)
        return Shown(WHITE - levels if grey.low_is_bright != invert else levels, grey.aspect, chosen, ())

    def _picture(self, index: int) -> Picture:
        if not 0 <= index < len(self.series):
            raise ImageError(f"the series has {len(self.series)} pictures, so there is none of index {index}")
        return self.series[index]

    def grey(self, index: int) -> Grey | None:
        """One slice decoded; nothing for colour and for pictures drawn by a table.

        Raises
        ------
        ImageError
            When there is no such slice, or it cannot be decoded.
        """
        picture = self._picture(index)
        if index in self._kept:
            self._kept.move_to_end(index)
            return self._kept[index]
        self._kept[index] = grey_of(picture)
        while len(self._kept) > 1 and sum(g.values.nbytes for g in self._kept.values() if g) > self._room:
            self._kept.popitem(last=False)
        return self._kept[index]
