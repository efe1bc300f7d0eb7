"""Names of limbs said as short as they can be, for narrow columns and far readers."""

from collections.abc import Sequence
from itertools import groupby

from cuffwright.exchange.report.printed import plain
from cuffwright.limbs.words import shortened


def folded(limbs: Sequence[str]) -> str:
    """Limb names as short as they can be said: those of one anchor together, whole sutures before single limbs.

    >>> folded(["1aF", "1aB", "1bF", "1bB", "2aF", "2bF"])
    '1ab 2abF'
    """
    words: list[str] = []
    for (stem, side), group in groupby((_parts(name) for name in shortened(limbs)), key=lambda p: (p[0], p[2])):
        words.append(stem + "".join(letter for _, letter, _ in group) + side)
    return " ".join(words)


def _parts(name: str) -> tuple[str, str, str]:
    """Anchor, suture letter, and F or B of a limb (``""`` for a whole suture)."""
    whole = name[-1].islower()
    return (name[:-1], name[-1], "") if whole else (name[:-2], name[-2], name[-1])


def folded_words(words: str) -> str:
    """Names of a phase as short as they can be said; anchors and single limbs stay as they are."""
    found: list[str] = []
    for word in words.split():
        stem, letter = word[:-1], word[-1]
        before = found[-1] if found else ""
        if letter.islower() and before.rstrip("abcdefgh") == stem and before[-1] < letter:
            found[-1] += letter
        else:
            found.append(word)
    return plain(" ".join(found))
