"""A measured value with its spread, where it came from, and how to repeat it."""

import math
from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError

Origin = Literal["image", "probe", "typed", "scenario"]
"""How a value was got: read on an image, felt with the probe, typed in, or set by a named scenario."""


@dataclass(frozen=True)
class Measurement:
    """A value with its standard deviation, both in the unit of its field, its origin and its trace.

    ``trace`` lets a second reader repeat it: the image and the points, the instrument, or who typed it.

    Raises
    ------
    CaseError
        At birth, when the value or the SD is not finite or is negative.
    """

    value: float
    sd: float
    origin: Origin
    trace: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.value) or self.value < 0:
            raise CaseError(f"a measured value must be a number of 0 or more, not {self.value}; measure it again")
        if not math.isfinite(self.sd) or self.sd < 0:
            raise CaseError(f"the spread of a measurement must be 0 or more, not {self.sd}; give its SD or 0")
