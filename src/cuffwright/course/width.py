"""What the error of the measured tear width does to the pressed area, the one result that follows it."""

from dataclasses import replace

from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.layout import Layout
from cuffwright.course.contact import press
from cuffwright.course.prepared import Prepared
from cuffwright.course.pulling import ramp_scenario


def area_spread(prepared: Prepared, layout: Layout, share: float) -> float:
    """SD of the pressed share of the torn footprint (now ``share``) from that of the tear width, sutures left in place.

    The same sutures hold a tear one SD narrower and one SD wider; half the difference is the SD. Where one of the two
    lies outside the model, the other side stands for both; where both do, 0.
    """
    sd = prepared.sheet.tear.width_mm.sd
    if sd == 0:
        return 0.0
    narrow, wide = (_share(prepared, layout, sign * sd) for sign in (-1, 1))
    if narrow is not None and wide is not None:
        return abs(wide - narrow) / 2
    return max((abs(one - share) for one in (narrow, wide) if one is not None), default=0.0)


def _share(prepared: Prepared, layout: Layout, more: float) -> float | None:
    """The pressed share with a tear ``more`` mm wider about the same middle, or None outside the model."""
    strip = prepared.strip
    if strip.width + more <= 0:
        return None
    other = replace(prepared, strip=replace(strip, front=strip.front - more / 2, width=strip.width + more))
    try:
        shown = ramp_scenario(other, layout, other.scenarios[other.middle], contested=False)
        return press(other, layout, shown.ramp.tied).share_above()
    except (CaseError, OutsideValidity):
        return None
