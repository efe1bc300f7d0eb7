"""Compose the record from what was entered."""

from collections.abc import Callable, Iterator, Mapping

from cuffwright.case.entry import Addendum, Kept, Signed
from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.record import ContentField, Contents, EventMark, Record, RecordLine, RecordSection
from cuffwright.course.record.construct import anchor_lines, limb_lines, repair_complete, stitch_lines
from cuffwright.course.record.devices import devices_complete, implant_lines
from cuffwright.course.record.measured import against_lines, look_lines, looks_complete, tear_complete, tear_lines
from cuffwright.course.record.told import (
    code_lines,
    deviation_lines,
    happened_lines,
    identity_lines,
    portal_lines,
    step_lines,
    strength_lines,
)
from cuffwright.theatre import Operation

OTHERS = "course"
"""The section for what was stated and is no compulsory content."""

DIAGNOSIS = "diagnosis"
"""The section for codes; they are no compulsory content, so none is missing."""

Filling = Callable[[Operation], Iterator[RecordLine]]


def _always(_: Operation) -> bool:
    return True


def _confirmed(operation: Operation) -> bool:
    return operation.opening is not None and operation.opening.confirmed_by != ""


FILLED: Mapping[str, tuple[Filling, Callable[[Operation], bool]]] = {
    "identity": (identity_lines, _confirmed),
    "portals": (portal_lines, _always),
    "steps": (step_lines, _always),
    "looks": (look_lines, looks_complete),
    "tear": (tear_lines, tear_complete),
    "anchors": (anchor_lines, repair_complete),
    "stitches": (stitch_lines, repair_complete),
    "limbs": (limb_lines, _always),
    "implants": (implant_lines, devices_complete),
    "mishaps": (happened_lines, _always),
    "deviations": (deviation_lines, _always),
    "planned against done": (against_lines, _always),
    "strength": (strength_lines, _always),
}
"""What the log gives by itself: its lines, and whether it is complete."""


def compose(case: str, identity: Identity, operation: Operation, contents: Contents) -> Record:
    """The record as it stands.

    Parameters
    ----------
    case
        The case's key.
    identity
        Whose shoulder.
    operation
        What was entered; for a case that was never opened in theatre, its plan alone.
    contents
        Everything a record must hold.

    Raises
    ------
    CaseError
        When the contents ask the log for something it does not give.
    """
    lines: dict[str, list[RecordLine]] = {section: [] for section in contents.sections}
    missing: list[ContentField] = []
    for field in contents.fields:
        made, complete = _field(field, operation)
        lines[field.section] += made
        missing += [] if complete else [field]
    known = {field.key for field in contents.fields}
    lines[OTHERS if OTHERS in lines else contents.sections[-1]] += [
        _stated(key, kept.seq, text) for key, (kept, text) in operation.stated.items() if key not in known
    ]
    if DIAGNOSIS in lines:
        lines[DIAGNOSIS] += code_lines(operation)
    cited = {seq for made in lines.values() for line in made for seq in line.events}
    last = _last(operation)
    return Record(
        case=case,
        patient=identity.patient,
        side=identity.side,
        day=operation.opening.day if _confirmed(operation) and operation.opening else identity.operation_date,
        invented=identity.invented,
        sections=tuple(RecordSection(key, tuple(made)) for key, made in lines.items()),
        missing=tuple(field.key for field in missing),
        blocking=tuple(field.key for field in missing if field.gate),
        events=tuple(EventMark(k.seq, k.happened, k.at) for k in operation.entries if k.seq in cited),
        head=last.hash if last else "",
        contents=f"{contents.name}, version {contents.version}",
    )


def _field(field: ContentField, operation: Operation) -> tuple[list[RecordLine], bool]:
    if field.filled == "log":
        if field.key not in FILLED:
            raise CaseError(f"the contents of the record ask the log for {field.key}, which it does not give")
        fill, complete = FILLED[field.key]
        return list(fill(operation)), complete(operation)
    said = operation.stated.get(field.key)
    if said is None:
        return [RecordLine("missing", (("field", f"@field.{field.key}"),), "missing")], False
    kept, text = said
    return [_stated(field.key, kept.seq, text)], True


def _stated(key: str, seq: int, text: str) -> RecordLine:
    return RecordLine("stated", (("field", f"@field.{key}"), ("text", text)), "entered", (seq,))


def _last(operation: Operation) -> Kept | None:
    kept = [k for k in operation.entries if k.hash and not isinstance(k.entry, Signed | Addendum)]
    return kept[-1] if kept else None
