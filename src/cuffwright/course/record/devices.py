"""Implants in lines: what is inside and where, what was wasted, what came out again."""

from collections.abc import Iterator

from cuffwright.case.entry import ImplantEntered
from cuffwright.case.record import RecordLine
from cuffwright.theatre import Operation, lines
from cuffwright.theatre.standing import needs_implant


def implant_lines(operation: Operation) -> Iterator[RecordLine]:
    """One line an implant with its identifiers, then the places that still lack one."""
    for implant in operation.implants:
        fill = (*_label(implant.entered), ("place", implant.entered.place or "-"), ("reason", implant.reason))
        yield RecordLine(f"implant {implant.where}", fill, "entered", implant.events)
        if implant.entered.expired_reason:
            said = (("implant", implant.entered.implant), ("reason", implant.entered.expired_reason))
            yield RecordLine("implant expired", said, "entered", implant.events[:1])
    for place in places_without(operation):
        yield RecordLine("implant missing", (("place", place),), "missing")


def places_without(operation: Operation) -> tuple[str, ...]:
    """Anchors of the plan, not left out, that need an implant and have none entered."""
    places = [line.key.removeprefix("anchor ") for line in lines(operation) if _is_open(line.key, line.left_out)]
    return tuple(p for p in places if needs_implant(operation, p) and operation.inside(p) is None)


def devices_complete(operation: Operation) -> bool:
    """Whether every place has its implant."""
    return operation.opening is not None and operation.opening.layout is not None and not places_without(operation)


def _is_open(key: str, left_out: bool) -> bool:
    return key.startswith("anchor ") and not left_out


def _label(entered: ImplantEntered) -> tuple[tuple[str, str], ...]:
    label = entered.label
    return (
        ("implant", entered.implant),
        ("item", entered.item or "-"),
        ("identifier", label.identifier),
        ("lot", label.lot or "-"),
        ("serial", label.serial or "-"),
        ("expires", label.expires.isoformat() if label.expires else "-"),
        ("printed", label.printed),
    )
