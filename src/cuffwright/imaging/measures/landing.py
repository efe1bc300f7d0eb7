"""A reading into the field of the case that it fills."""

from cuffwright.case.errors import ImageError
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.imaging.measures.reading import Reading

TANGENT = "muscle.tangent_positive"


def land(sheet: CaseSheet, reading: Reading) -> CaseSheet:
    """The case with the reading in its field; nothing else is changed.

    Raises
    ------
    ImageError
        When the measure fills no field, or its answer is open.
    """
    if not reading.field:
        raise ImageError(f"{reading.title.lower()} fills no field of the case; it is kept beside it")
    value = landed(reading)
    if value is None:
        raise ImageError("the tangent sign is too close to call; mark it again or look at it with a colleague")
    return sheet.with_value(reading.field, value)


def landed(reading: Reading) -> Measurement | bool | None:
    """What a reading puts into its field; nothing when it fills none, or its answer is open."""
    if not reading.field:
        return None
    return tangent_positive(reading) if reading.field == TANGENT else reading.measurement


def tangent_positive(reading: Reading) -> bool | None:
    """Whether the muscle lies below the line; nothing when the spread reaches over the line (two SD)."""
    if abs(reading.value) < 2 * reading.sd:
        return None
    return reading.value < 0
