"""Colours of the printed map: a published pressure scale, and limbs told apart without colour."""

from dataclasses import dataclass
from typing import Literal

CIVIDIS = (
    "#00224E", "#123570", "#3B496C", "#575D6D", "#707173", "#8A8678", "#A59C74", "#C3B369", "#E1CC55", "#FEE838",
)  # fmt: skip
"""Ten even steps of cividis (PLoS ONE 2018, doi 10.1371/journal.pone.0199239), dark to light."""

BONE = "#F6F1E8"
CARTILAGE = "#D6E6EC"
TENDON = "#D9A58C"
WALL = "#BDB5A6"

LimbPattern = Literal["solid", "long dash", "dot", "beaded"]
HUES = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#332288", "#E69F00", "#56B4E9", "#882255")
PATTERNS: tuple[LimbPattern, ...] = ("solid", "long dash", "dot", "beaded")


@dataclass(frozen=True)
class LimbLook:
    """How one limb is drawn wherever it appears: hue, line pattern."""

    hue: str
    pattern: LimbPattern


def limb_look(place: int) -> LimbLook:
    """The look of the limb at ``place`` (0 first) in the layout; different for the first 32 limbs.

    >>> limb_look(0)
    LimbLook(hue='#0072B2', pattern='solid')
    """
    turn = place + place // len(HUES)
    return LimbLook(HUES[place % len(HUES)], PATTERNS[turn % len(PATTERNS)])


def pressure_tint(share: float) -> str:
    """Cividis for ``share`` (0 to 1) of the reach of pressure, run from light to dark: on paper, darker is more."""
    place = (1.0 - min(max(share, 0.0), 1.0)) * (len(CIVIDIS) - 1)
    lower = min(int(place), len(CIVIDIS) - 2)
    part = place - lower
    mixed = [
        round(a + (b - a) * part) for a, b in zip(_channels(CIVIDIS[lower]), _channels(CIVIDIS[lower + 1]), strict=True)
    ]
    return "#" + "".join(f"{c:02X}" for c in mixed)


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
