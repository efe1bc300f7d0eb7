"""An implant as its label names it, and as the hospital keeps it on the shelf."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from cuffwright.case.errors import CaseError

LabelSystem = Literal["gs1", "hibcc"]
Shelf = Literal["good", "expired", "unknown"]
"""Whether a label may still be used on a day; unknown when it names no expiry date."""


@dataclass(frozen=True)
class ImplantLabel:
    """What the code on an implant's label says.

    ``identifier`` is the device identifier, ``printed`` the text as print gives it, ``raw`` exactly what was scanned
    or pasted. ``notes`` are doubts about the reading, each a sentence; they do not forbid it.
    """

    system: LabelSystem
    identifier: str
    raw: str
    printed: str
    lot: str | None = None
    serial: str | None = None
    made: date | None = None
    expires: date | None = None
    quantity: int | None = None
    notes: tuple[str, ...] = ()

    def shelf(self, day: date) -> Shelf:
        """Whether it may be used on ``day``: the expiry date itself is the last good day."""
        if self.expires is None:
            return "unknown"
        return "good" if day <= self.expires else "expired"


@dataclass(frozen=True)
class TypedStrength:
    """A strength in newtons that somebody typed in for an implant, with where it was read."""

    newtons: float
    source: str

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise CaseError("a typed strength of an implant has no source; say where it was read, or leave it out")


@dataclass(frozen=True)
class StockItem:
    """One kind of implant on the shelf.

    ``key`` is its local name, ``kind`` the generic implant of the plan that it stands for, ``size_mm`` its diameter,
    ``sutures`` how many it is loaded with, ``eyelet_limit`` how many sutures its eyelet admits, None unknown.
    ``identifiers`` are the device identifiers on its labels. ``price`` is optional and in the hospital's own currency.

    Raises
    ------
    CaseError
        At birth, when it has no name or a number is negative.
    """

    key: str
    kind: str
    size_mm: float | None = None
    sutures: int | None = None
    eyelet_limit: int | None = None
    strengths: tuple[TypedStrength, ...] = ()
    identifiers: tuple[str, ...] = ()
    price: float | None = None
    spares: int = 0

    def __post_init__(self) -> None:
        if not self.key.strip() or not self.kind.strip():
            raise CaseError("an implant in the stock has no key or no kind; name both")
        numbers = (self.size_mm, self.sutures, self.eyelet_limit, self.price, self.spares)
        if any(n is not None and n < 0 for n in numbers):
            raise CaseError(f"the implant {self.key} in the stock has a negative number; correct it")


@dataclass(frozen=True)
class Stock:
    """The implants a theatre keeps, as one versioned list.

    Raises
    ------
    CaseError
        At birth, when a key or a device identifier stands twice.
    """

    name: str
    version: str
    items: tuple[StockItem, ...]
    invented: bool = False
    format: int = 1

    def __post_init__(self) -> None:
        for names in ([i.key for i in self.items], [d for i in self.items for d in i.identifiers]):
            double = {n for n in names if names.count(n) > 1}
            if double:
                raise CaseError(f"{min(double)} stands twice in the stock {self.name}; name it once")

    def of(self, label: ImplantLabel) -> StockItem | None:
        """The item whose labels carry this device identifier, or None when the stock knows none."""
        return next((item for item in self.items if label.identifier in item.identifiers), None)
