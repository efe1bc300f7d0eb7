"""A published number as a record: value, unit, spread, source, provenance."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal, Protocol

from cuffwright.case.errors import EvidenceError

Provenance = Literal["read", "derived", "memory", "assumed", "calibrated", "measured"]
"""Where a number comes from; ``memory`` and ``assumed`` are drawn as unverified."""

UNVERIFIED: frozenset[str] = frozenset({"memory", "assumed"})


@dataclass(frozen=True)
class Source:
    """A citation without personal names: journal or page, year, address."""

    source: str
    citation: str
    year: int | None
    url: str


@dataclass(frozen=True)
class Fact:
    """One row of evidence.

    ``value``, ``low``, ``high`` and ``sd`` share ``unit``; ``where`` is the page, table or figure.
    """

    key: str
    value: float
    unit: str
    low: float | None
    high: float | None
    sd: float | None
    source: Source
    where: str
    provenance: Provenance
    note: str = ""

    @property
    def verified(self) -> bool:
        """Whether the number was seen in, derived from, fitted to or measured on something real."""
        return self.provenance not in UNVERIFIED


class FactBook(Protocol):
    """What the core asks of the evidence: a fact by its key, and the name of the edition."""

    @property
    def edition(self) -> str:
        """Short digest naming this exact set of rows."""
        ...

    def fact(self, key: str) -> Fact:
        """Return the row cited by ``key``; raises EvidenceError when there is none."""
        ...


@dataclass
class Citing:
    """A fact book that remembers which rows were read, so that a result can carry its sources."""

    book: FactBook
    used: dict[str, Fact] = field(default_factory=dict)

    @property
    def edition(self) -> str:
        """The edition of the book behind."""
        return self.book.edition

    def fact(self, key: str) -> Fact:
        """Return the row cited by ``key`` and remember it; raises EvidenceError when there is none."""
        found = self.book.fact(key)
        self.used[key] = found
        return found

    def number(self, key: str) -> float:
        """The value of the row cited by ``key``; raises EvidenceError when there is none."""
        return self.fact(key).value


@dataclass(frozen=True)
class FixedBook:
    """A fact book over rows held in memory, for tests and for what-if runs.

    Raises
    ------
    EvidenceError
        From :meth:`fact`, when no row carries the key.
    """

    rows: dict[str, Fact]
    edition: str = "fixed"

    def fact(self, key: str) -> Fact:
        """Return the row cited by ``key``; raises EvidenceError when there is none."""
        try:
            return self.rows[key]
        except KeyError:
            raise EvidenceError(f"no evidence row is called {key}; add it to the rows with its source") from None

    def scaled(self, keys: Iterable[str], factor: float) -> "FixedBook":
        """The same book with the named rows multiplied by ``factor``, for sensitivity runs."""
        changed = {key: replace(self.fact(key), value=self.fact(key).value * factor) for key in keys}
        return FixedBook({**self.rows, **changed}, f"{self.edition}*")
