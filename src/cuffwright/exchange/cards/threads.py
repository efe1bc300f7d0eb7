"""Threads as drawn: a hue for paper, a light one for the dark ground of theatre, a line pattern, always with words."""

from dataclasses import dataclass

from cuffwright.case.limbs import Look

PAPER: dict[str, str] = {
    "orange": "#E69F00",
    "sky blue": "#56B4E9",
    "green": "#009E73",
    "yellow": "#F0E442",
    "blue": "#0072B2",
    "vermilion": "#D55E00",
    "purple": "#CC79A7",
    "black": "#000000",
    "white": "#FFFFFF",
}
"""Hues that stay apart in colour-vision deficiency (Color Universal Design, 2008), and plain white thread."""

DARK: dict[str, str] = {
    **PAPER,
    "green": "#3CC79B",
    "blue": "#5FA8D8",
    "vermilion": "#FF8A45",
    "purple": "#E3A0C4",
    "black": "#8B949C",
}
"""The same hues in the light half, for a dark ground."""

PATTERNS = ("solid", "tracer", "dashed")
"""Patterns that are drawn; a thread of another pattern is named in words only."""

UNKNOWN = "look not known"


@dataclass(frozen=True)
class Thread:
    """How one suture is drawn: its words, and hues and pattern where they are known, else ``""``."""

    words: str
    hue: str = ""
    dark: str = ""
    pattern: str = ""


def thread_of(look: Look | None) -> Thread:
    """The drawing of a thread; an unknown look, colour or pattern is never filled in.

    >>> thread_of(None)
    Thread(words='look not known', hue='', dark='', pattern='')
    """
    if look is None:
        return Thread(UNKNOWN)
    pattern = look.pattern if look.pattern in PATTERNS else ""
    return Thread(look.words, PAPER.get(look.colour, ""), DARK.get(look.colour, ""), pattern)
