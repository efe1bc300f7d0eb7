"""What an instrument passes through: a bare stab, the shortest cannula that gets near enough, or none long enough."""

from dataclasses import dataclass

from cuffwright.access.portals import STAB
from cuffwright.case.fact import Citing
from cuffwright.case.reach import Instrument

BARE = "no cannula"
"""Words of a passage without a cannula."""

ROWS: dict[str, str] = {
    "shorter cannula": "tool.cannula.short.length",
    "longer cannula": "tool.cannula.long.length",
    "driver and passers": "tool.length.working",
    "arthroscope": "scope.length",
    "cannula's tip to the site": "tool.cannula.away",
}
"""Instruments of an answer by name, and the row of each length."""


@dataclass(frozen=True)
class Passage:
    """How one path is gone: through what, and how long a shaft (mm) it takes from its handle to the site."""

    through: str
    shaft: float


@dataclass(frozen=True)
class Cannulas:
    """Lengths of the usual cannulas (mm), shortest first, and how far from the site their tip may end."""

    lengths: tuple[float, ...]
    away: float

    @classmethod
    def from_facts(cls, book: Citing) -> "Cannulas":
        """The usual cannulas from their rows."""
        lengths = (book.number("tool.cannula.short.length"), book.number("tool.cannula.long.length"))
        return cls(tuple(sorted(lengths)), book.number("tool.cannula.away"))

    def passage(self, portal: str, length: float, *, bare: bool = False) -> Passage:
        """How a path ``length`` mm from skin to site is gone; through the stab, and ``bare``, without a cannula.

        A cannula longer than the way to its tip stands out of the skin, and the shaft must bridge that too.
        """
        if portal == STAB or bare:
            return Passage(BARE, length)
        for cannula in self.lengths:
            if length - self.away <= cannula:
                return Passage(f"a {cannula:g} mm cannula", max(length, cannula + self.away))
        return Passage(f"{BARE}: the longest, {self.lengths[-1]:g} mm, ends too far off", length)


def instruments(book: Citing) -> tuple[Instrument, ...]:
    """The lengths an answer counts with, each with its row and what it rests on."""
    facts = [(name, book.fact(key)) for name, key in ROWS.items()]
    return tuple(Instrument(name, fact.value, fact.key, fact.provenance) for name, fact in facts)
