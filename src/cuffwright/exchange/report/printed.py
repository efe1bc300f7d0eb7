"""Numbers and words as they are printed: never rounded again, never read as markup."""

import unicodedata

from cuffwright.case.quantity import Interval

NOT_COMPUTED = "not computed"
NOT_REACHED = "too few draws reach it"
LONGEST_WORD = 44
PRINTABLE = (
    (0x20, 0x24F),
    (0x300, 0x36F),
    (0x370, 0x3FF),
    (0x400, 0x45F),
    (0x2010, 0x2027),
    (0x2030, 0x203A),
    (0x20AC, 0x20AC),
    (0x2190, 0x2193),
    (0x2212, 0x2212),
    (0x2264, 0x2265),
)
"""Ranges of characters that the embedded fonts can draw."""


def number(value: float) -> str:
    """A number exactly as the result holds it; a whole number without its empty decimals."""
    return str(int(value)) if float(value).is_integer() and abs(value) < 1e15 else repr(float(value))


def plain(text: str) -> str:
    """Text on one line; a character no embedded font can draw is printed as its code point, such as [U+6F22].

    Words too long for a line get an invisible place to break.
    """
    words = " ".join(text.split()).split(" ")
    return " ".join(_breakable("".join(_drawable(c) for c in word)) for word in words)


def _drawable(character: str) -> str:
    code = ord(character)
    known = any(low <= code <= high for low, high in PRINTABLE)
    if known and unicodedata.category(character) not in {"Cc", "Cn", "Cs", "Co"} and code != 0xAD:
        return character
    return f"[U+{code:04X}]"


def _breakable(word: str) -> str:
    pieces = [word[i : i + LONGEST_WORD] for i in range(0, len(word), LONGEST_WORD)]
    return "\u200b".join(pieces)


def spread(interval: Interval) -> str:
    """Middle, low and high without the unit: ``290 (150 to 460)``."""
    return f"{number(interval.middle)} ({number(interval.low)} to {number(interval.high)})"


def quantity(interval: Interval) -> str:
    """An interval in full: ``290 N (0.9 of draws: 150 to 460)``."""
    low, high = number(interval.low), number(interval.high)
    return f"{number(interval.middle)} {plain(interval.unit)} ({number(interval.share)} of draws: {low} to {high})"
