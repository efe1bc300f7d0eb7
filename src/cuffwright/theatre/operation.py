"""What stands after the entries of an operation, folded from them alone."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

from cuffwright.case.entry import (
    Addendum,
    Affirmed,
    Coded,
    Deviation,
    Finding,
    ImplantEntered,
    ImplantRemoved,
    ImplantWasted,
    Kept,
    MishapEntered,
    Remeasured,
    Replanned,
    Signed,
    Stated,
    StepLeft,
    StrengthKept,
    TheatreOpened,
    Withdrawn,
)
from cuffwright.case.operation import OperationStep

Whereabouts = Literal["opened", "inside", "wasted", "removed"]

T = TypeVar("T")


@dataclass(frozen=True)
class ImplantHere:
    """An implant of this operation: what was entered, where it is now, and the entries that say so."""

    entered: ImplantEntered
    where: Whereabouts
    events: tuple[int, ...]
    reason: str = ""


@dataclass(frozen=True)
class Operation:
    """All entries in order, those withdrawn among them, and what follows from the others."""

    entries: tuple[Kept, ...] = ()
    withdrawn: Mapping[int, Kept] = field(default_factory=dict)

    def of(self, kind: type[T]) -> list[tuple[Kept, T]]:
        """The entries of one kind that hold, in order."""
        return [(k, k.entry) for k in self.entries if isinstance(k.entry, kind) and k.seq not in self.withdrawn]

    @property
    def first(self) -> TheatreOpened | None:
        """How theatre was opened, with the plan of the evening before; None before."""
        return next((entry for _, entry in self.of(TheatreOpened)), None)

    @property
    def opening(self) -> TheatreOpened | None:
        """How theatre was opened, with the plan it follows now; None before."""
        first, again = self.first, self.of(Replanned)
        if first is None or not again:
            return first
        return _following(first, again[-1][1])

    @property
    def from_repair(self) -> TheatreOpened | None:
        """How theatre was opened, with the plan that last came from Repair; None before."""
        first, again = self.first, [entry for _, entry in self.of(Replanned) if entry.made == "in repair"]
        return _following(first, again[-1]) if first is not None and again else first

    @property
    def every_step(self) -> dict[str, OperationStep]:
        """The steps of every plan that theatre ever followed, by their keys; the newest of each key."""
        plans = [k.entry.steps for k in self.entries if isinstance(k.entry, TheatreOpened | Replanned)]
        return {step.key: step for steps in plans for step in steps}

    @property
    def signature(self) -> tuple[Kept, Signed] | None:
        """The signature; None while the record is a draft."""
        return next(iter(self.of(Signed)), None)

    @property
    def addenda(self) -> list[tuple[Kept, Addendum]]:
        """What was added after signing."""
        return self.of(Addendum)

    @property
    def left(self) -> tuple[str, ...]:
        """The steps left behind, in the order in which they were."""
        return tuple(dict.fromkeys(entry.step for _, entry in self.of(StepLeft)))

    @property
    def implants(self) -> tuple[ImplantHere, ...]:
        """Every implant with its whereabouts."""
        found: dict[str, ImplantHere] = {}
        for kept, entered in self.of(ImplantEntered):
            before = found[entered.implant].events if entered.implant in found else ()
            where: Whereabouts = "inside" if entered.place else "opened"
            found[entered.implant] = ImplantHere(entered, where, (*before, kept.seq))
        ends: list[tuple[Kept, ImplantWasted | ImplantRemoved]] = [*self.of(ImplantWasted), *self.of(ImplantRemoved)]
        for kept, ended in sorted(ends, key=lambda pair: pair[0].seq):
            here = found.get(ended.implant)
            if here is not None:
                where = "wasted" if isinstance(ended, ImplantWasted) else "removed"
                found[ended.implant] = ImplantHere(here.entered, where, (*here.events, kept.seq), ended.reason)
        return tuple(found.values())

    def inside(self, place: str) -> ImplantHere | None:
        """The implant that is in at ``place``, or None."""
        return next((i for i in self.implants if i.where == "inside" and i.entered.place == place), None)

    @property
    def stated(self) -> dict[str, tuple[Kept, str]]:
        """The last statement of each field."""
        return {entry.field: (kept, entry.text) for kept, entry in self.of(Stated)}

    @property
    def codes(self) -> dict[tuple[str, str], tuple[Kept, Coded]]:
        """The last code of each system, of diagnosis and procedure."""
        return {(entry.about, entry.system): (kept, entry) for kept, entry in self.of(Coded)}

    @property
    def findings(self) -> dict[str, list[tuple[Kept, str]]]:
        """All findings by what they are about."""
        found: dict[str, list[tuple[Kept, str]]] = {}
        for kept, entry in self.of(Finding):
            found.setdefault(entry.about, []).append((kept, entry.text))
        return found

    @property
    def remeasured(self) -> dict[str, tuple[Kept, Remeasured]]:
        """The last measure of each field taken in theatre."""
        return {entry.field: (kept, entry) for kept, entry in self.of(Remeasured)}

    @property
    def mishaps(self) -> list[tuple[Kept, MishapEntered]]:
        """What happened."""
        return self.of(MishapEntered)

    @property
    def deviations(self) -> list[tuple[Kept, Deviation]]:
        """What was done otherwise."""
        return self.of(Deviation)

    @property
    def affirmations(self) -> list[tuple[Kept, Affirmed]]:
        """What was affirmed."""
        return self.of(Affirmed)

    def strength(self, which: Literal["planned", "done"]) -> tuple[Kept, StrengthKept] | None:
        """The strength kept last, planned or as done."""
        return next((pair for pair in reversed(self.of(StrengthKept)) if pair[1].which == which), None)


def _following(opening: TheatreOpened, plan: Replanned) -> TheatreOpened:
    """The opening, with another plan."""
    return replace(opening, steps=plan.steps, layout=plan.layout, strip=plan.strip, limbs=plan.limbs)


def fold(entries: Iterable[Kept]) -> Operation:
    """What stands after ``entries``, all of one case, in their order.

    A withdrawal that was itself withdrawn does not count.
    """
    kept = tuple(entries)
    withdrawn: dict[int, Kept] = {}
    for one in reversed(kept):
        if isinstance(one.entry, Withdrawn) and one.seq not in withdrawn:
            withdrawn[one.entry.seq] = one
    return Operation(kept, withdrawn)
