"""The sizes of the insertion: length, breadth, the gap beside the cartilage, the capsule, the bare tendons."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing

Floats = NDArray[np.float64]

KEYS = {
    "length": "footprint.length",
    "breadth_front": "footprint.breadth.front",
    "breadth_back": "footprint.breadth.back",
    "supraspinatus": "footprint.supraspinatus.length",
    "overlap": "footprint.overlap",
    "gap_front": "gap.front",
    "gap_quiet_length": "gap.quiet_length",
    "gap_quiet_end": "gap.quiet_end",
    "gap_back": "gap.back",
    "gap_back_at": "gap.back_at",
    "capsule_narrowest": "capsule.narrowest",
    "capsule_narrowest_at": "capsule.narrowest_at",
    "capsule_supraspinatus_back": "capsule.supraspinatus_back",
    "capsule_infraspinatus_back": "capsule.infraspinatus_back",
    "bare_supraspinatus_medial": "tendon_only.supraspinatus.medial_length",
    "bare_supraspinatus_lateral": "tendon_only.supraspinatus.lateral_length",
    "bare_supraspinatus_breadth": "tendon_only.supraspinatus.breadth",
    "bare_infraspinatus_medial": "tendon_only.infraspinatus.medial_length",
    "bare_infraspinatus_lateral": "tendon_only.infraspinatus.lateral_length",
}
"""Which evidence row fills which field of :class:`FootprintSize`."""

ALONG = (
    "length",
    "supraspinatus",
    "overlap",
    "gap_quiet_length",
    "gap_back_at",
    "capsule_narrowest_at",
    "bare_supraspinatus_medial",
    "bare_supraspinatus_lateral",
    "bare_infraspinatus_medial",
    "bare_infraspinatus_lateral",
)
"""Fields measured along the margin (AP)."""

ACROSS = (
    "breadth_front",
    "breadth_back",
    "gap_front",
    "gap_quiet_end",
    "gap_back",
    "capsule_narrowest",
    "capsule_supraspinatus_back",
    "capsule_infraspinatus_back",
    "bare_supraspinatus_breadth",
)
"""Fields measured from the margin laterally (ML)."""


@dataclass(frozen=True)
class FootprintSize:
    """Lengths of the insertion, all in mm of arc on the bone.

    ``length`` runs along the margin from the front of the greater tuberosity; breadths and gaps count from the
    cartilage laterally; fields beginning with ``bare_`` are the tendon-only polygons, capsule left out.

    Raises
    ------
    CaseError
        At birth, when a length is negative or not finite, or the footprint has no length or breadth.
    """

    length: float
    breadth_front: float
    breadth_back: float
    supraspinatus: float
    overlap: float
    gap_front: float
    gap_quiet_length: float
    gap_quiet_end: float
    gap_back: float
    gap_back_at: float
    capsule_narrowest: float
    capsule_narrowest_at: float
    capsule_supraspinatus_back: float
    capsule_infraspinatus_back: float
    bare_supraspinatus_medial: float
    bare_supraspinatus_lateral: float
    bare_supraspinatus_breadth: float
    bare_infraspinatus_medial: float
    bare_infraspinatus_lateral: float

    def __post_init__(self) -> None:
        for entry in fields(self):
            value = getattr(self, entry.name)
            if not np.isfinite(value) or value < 0:
                raise CaseError(f"footprint {entry.name} must be 0 mm or more, not {value}; measure it again")
        if min(self.length, self.breadth_front, self.breadth_back) <= 0:
            raise CaseError("a footprint needs a length and a breadth above 0 mm; measure it again")

    @classmethod
    def from_facts(cls, book: Citing, factor: float = 1.0) -> "FootprintSize":
        """The default footprint, every length times ``factor`` (head radius over the mean one)."""
        return cls(**{name: book.number(key) * factor for name, key in KEYS.items()})

    def stretched(self, along: float = 1.0, across: float = 1.0) -> "FootprintSize":
        """The same footprint with AP lengths times ``along`` and ML lengths times ``across``."""
        changed = {name: getattr(self, name) * along for name in ALONG}
        return replace(self, **changed, **{name: getattr(self, name) * across for name in ACROSS})

    def breadth(self, u: Floats) -> Floats:
        """Breadth from cartilage to the lateral edge at ``u`` (mm): front value easing into the back value."""
        share = np.clip(u / self.length, 0, 1)
        return self.breadth_front + (self.breadth_back - self.breadth_front) * share**2 * (3 - 2 * share)

    def gap(self, u: Floats) -> Floats:
        """Bare bone between cartilage and insertion at ``u`` (mm), monotone; flat before 0 and past its end."""
        nodes = [0, self.gap_quiet_length, self.gap_back_at]
        curve = PchipInterpolator(nodes, [self.gap_front, self.gap_quiet_end, self.gap_back])
        return np.asarray(curve(np.clip(u, 0, self.gap_back_at)), dtype=np.float64)

    def capsule(self, u: Floats) -> Floats:
        """Width of the capsule strip beside the cartilage at ``u`` (mm)."""
        nodes = [self.capsule_narrowest_at, self.supraspinatus, self.length]
        widths = [self.capsule_narrowest, self.capsule_supraspinatus_back, self.capsule_infraspinatus_back]
        return np.asarray(np.interp(u, nodes, widths), dtype=np.float64)
