"""A reading into the field of the case that it fills."""

from dataclasses import replace

from cuffwright.case.errors import ImageError
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
    part, name = reading.field.split(".")
    value: object = reading.measurement
    if reading.field == TANGENT:
        value = tangent_positive(reading)
        if value is None:
            raise ImageError("the tangent sign is too close to call; mark it again or look at it with a colleague")
    holder = replace(getattr(sheet, part), **{name: value})
    return replace(sheet, **{part: holder})


def tangent_positive(reading: Reading) -> bool | None:
    """Whether the muscle lies below the line; nothing when the spread reaches over the line (two SD)."""
    if abs(reading.value) < 2 * reading.sd:
        return None
    return reading.value < 0
