"""What may be entered: an entry that cannot be is refused in one sentence, and nothing is kept of it."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import isfinite

from cuffwright.case.entry import (
    Addendum,
    Affirmed,
    Coded,
    Deviation,
    Entry,
    ImplantEntered,
    ImplantRemoved,
    ImplantWasted,
    Kept,
    MishapEntered,
    Remeasured,
    Signed,
    Stated,
    StepLeft,
    TheatreOpened,
    Withdrawn,
)
from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.theatre.codes import check_code
from cuffwright.theatre.operation import Operation, fold
from cuffwright.theatre.standing import line_keys, lines, needs_implant

EXPIRED = "it expired"
"""Part of the sentence that asks for a reason before an expired implant is kept."""


def admit(operation: Operation, entry: Entry, identity: Identity) -> None:
    """Check that ``entry`` may follow what stands.

    Raises
    ------
    CaseError
        When theatre is not open, the record is signed, identity or side differ, an implant is past its date without
        a reason, a place holds an implant already, a reason or a name is missing, or something named is not there.
    """
    if operation.signature is not None and not isinstance(entry, Addendum):
        raise CaseError("the record is signed and locked; write an addendum")
    if isinstance(entry, TheatreOpened):
        _opens(operation, entry, identity)
        return
    if operation.opening is None and not isinstance(entry, Stated):
        raise CaseError("theatre is not open; confirm identity and side first")
    for name in ("reason", "text", "person", "field", "about", "system", "code"):
        if not getattr(entry, name, "some").strip():
            raise CaseError(f"the entry has no {name}; write it")
    if isinstance(entry, Coded):
        check_code(operation, entry, identity.side)
    check = CHECKS.get(type(entry))
    if check is not None:
        check(operation, entry)


def _opens(operation: Operation, entry: TheatreOpened, identity: Identity) -> None:
    if operation.opening is not None:
        raise CaseError("theatre is open already; go on where it stands")
    if entry.patient.strip() != identity.patient:
        raise CaseError(
            "the patient key typed is not the one of this case; stop and look at the wristband and the case"
        )
    if entry.side != identity.side:
        raise CaseError(
            f"this case is a {identity.side} shoulder, not a {entry.side} one; stop and check the marked side"
        )
    if not entry.confirmed_by.strip():
        raise CaseError("nobody is named who confirmed identity and side; name the person")


def _step(operation: Operation, entry: Entry) -> None:
    if isinstance(entry, StepLeft) and entry.step not in operation.every_step:
        raise CaseError(f"there is no step {entry.step!r} in this operation; choose one that is shown")


def _implant(operation: Operation, entry: Entry) -> None:
    if not isinstance(entry, ImplantEntered) or operation.opening is None:
        return
    for other in operation.implants:
        label = other.entered.label
        if other.entered.implant == entry.implant:
            if other.where == "opened" and entry.place and label == entry.label:
                continue
            raise CaseError(f"implant {entry.implant} is entered already; give the new one its own name")
        same = (label.identifier, label.serial) == (entry.label.identifier, entry.label.serial)
        if entry.label.serial and same and other.where in {"inside", "opened"}:
            raise CaseError(
                f"the implant with serial {entry.label.serial} is entered already; scan the label of this one"
            )
    if entry.place and operation.inside(entry.place):
        raise CaseError(f"anchor {entry.place} holds an implant already; enter first that it came out")
    day = operation.opening.day
    if entry.label.shelf(day) == "expired" and not entry.expired_reason.strip():
        raise CaseError(
            f"stop: {EXPIRED} on {entry.label.expires}, before this operation of {day}; take another one, or keep it"
            " with a written reason"
        )


def _implant_end(operation: Operation, entry: Entry) -> None:
    if not isinstance(entry, ImplantWasted | ImplantRemoved):
        return
    here = next((i for i in operation.implants if i.entered.implant == entry.implant), None)
    if here is None:
        raise CaseError(f"there is no implant {entry.implant} in this log; choose one that was entered")
    wanted = "opened" if isinstance(entry, ImplantWasted) else "inside"
    if here.where != wanted:
        done = "wasted only when it was never put in" if wanted == "opened" else "removed only when it is in"
        raise CaseError(f"implant {entry.implant} is {here.where}; it can be {done}")


def _mishap(_: Operation, entry: Entry) -> None:
    if isinstance(entry, MishapEntered) and entry.kind == "something else" and not entry.words.strip():
        raise CaseError("something else happened: write what")


def _deviation(operation: Operation, entry: Entry) -> None:
    if isinstance(entry, Deviation) and entry.line and entry.line not in line_keys(operation):
        raise CaseError(f"there is no line {entry.line!r} in this record; choose one that is shown, or leave it empty")


def _affirmed(operation: Operation, entry: Entry) -> None:
    if not isinstance(entry, Affirmed):
        return
    known = {line.key: line for line in lines(operation)}
    for key in entry.lines:
        if key not in known:
            raise CaseError(f"there is no line {key!r} to affirm; choose one that is shown")
        place = key.removeprefix("anchor ")
        if place != key and not known[key].left_out and needs_implant(operation, place) and not operation.inside(place):
            raise CaseError(f"anchor {place} has no implant entered; scan or type it before it is affirmed")


def can_be_withdrawn(operation: Operation, kept: Kept) -> bool:
    """Whether an entry may still be withdrawn: not the opening, a signature, an addendum, or one withdrawn already."""
    return kept.seq not in operation.withdrawn and not isinstance(kept.entry, TheatreOpened | Signed | Addendum)


def _withdrawn(operation: Operation, entry: Entry) -> None:
    if not isinstance(entry, Withdrawn):
        return
    target = next((k for k in operation.entries if k.seq == entry.seq), None)
    if target is not None and entry.seq in operation.withdrawn:
        raise CaseError(f"entry {entry.seq} is withdrawn already")
    if target is None or not can_be_withdrawn(operation, target):
        raise CaseError(f"entry {entry.seq} cannot be withdrawn; choose one of this operation")
    after = fold((*operation.entries, replace(target, seq=target.seq + len(operation.entries) + 1, entry=entry)))
    places = [i.entered.place for i in after.implants if i.where == "inside"]
    if len(places) > len(set(places)):
        raise CaseError("two implants would be in one place; enter first that the later one came out")


def _remeasured(_: Operation, entry: Entry) -> None:
    if isinstance(entry, Remeasured) and entry.field.endswith("_mm") and entry.unit != "mm":
        raise CaseError(f"{entry.field} is measured in mm, not in {entry.unit or 'nothing'}; give it in mm")
    if isinstance(entry, Remeasured) and not (isfinite(entry.value) and entry.value > 0):
        raise CaseError(f"{entry.field} must be above 0, not {entry.value}; measure it again")


CHECKS: Mapping[type, Callable[[Operation, Entry], None]] = {
    StepLeft: _step,
    ImplantEntered: _implant,
    ImplantWasted: _implant_end,
    ImplantRemoved: _implant_end,
    MishapEntered: _mishap,
    Deviation: _deviation,
    Affirmed: _affirmed,
    Withdrawn: _withdrawn,
    Remeasured: _remeasured,
}
"""What is looked at besides, by kind of entry."""
