"""What was seen and measured, in lines, and what was planned beside what was done."""

from collections.abc import Iterator
from math import hypot

from cuffwright.case.entry import Replanned
from cuffwright.case.layout import Anchor
from cuffwright.case.record import LineStanding, RecordLine
from cuffwright.course.record.construct import done_layout
from cuffwright.theatre import Operation, lines
from cuffwright.theatre.operation import ImplantHere

TEAR = ("tear.width_mm", "tear.retraction_mm", "tear.thickness_mm", "tear.shape", "tear.tendons", "tear.full_thickness")
"""Fields of the sheet that the record repeats, in its order."""

WIDTH = TEAR[0]
STEP = "step remeasure"


def look_lines(operation: Operation) -> Iterator[RecordLine]:
    """Every part that is looked at: each finding, or that nobody said any."""
    looks = operation.opening.template.looks if operation.opening else ()
    for look in dict.fromkeys([*looks, *operation.findings]):
        found = operation.findings.get(look)
        if not found:
            yield RecordLine("look missing", (("look", f"@look.{look}"),), "missing")
        for kept, text in found or ():
            yield RecordLine("look", (("look", f"@look.{look}"), ("text", text)), "entered", (kept.seq,))


def looks_complete(operation: Operation) -> bool:
    """Whether every part has a finding."""
    looks = operation.opening.template.looks if operation.opening else ()
    return bool(looks) and all(look in operation.findings for look in looks)


def tear_lines(operation: Operation) -> Iterator[RecordLine]:
    """The tear: measured again in theatre, else as planned and marked so."""
    planned = dict(operation.opening.sheet_words) if operation.opening else {}
    affirmed = next((line for line in lines(operation) if line.key == STEP and line.standing == "affirmed"), None)
    for field in dict.fromkeys([*TEAR, *operation.remeasured]):
        again = operation.remeasured.get(field)
        if again is not None:
            kept, entry = again
            value = (("field", f"@field.{field}"), ("value", f"{entry.value:g} {entry.unit}"))
            yield RecordLine("measured again", (*value, ("with", entry.instrument or "-")), "entered", (kept.seq,))
        elif field in planned:
            standing: LineStanding = "affirmed" if affirmed else "planned, unconfirmed"
            fill = (("field", f"@field.{field}"), ("value", planned[field]))
            events, person = (affirmed.events, affirmed.person) if affirmed else ((), "")
            yield RecordLine("measure", fill, standing, events, person)
        else:
            yield RecordLine("missing", (("field", f"@field.{field}"),), "missing")


def tear_complete(operation: Operation) -> bool:
    """Whether the tear was measured again, or its planned measures were affirmed."""
    affirmed = {line.key for line in lines(operation) if line.standing == "affirmed"}
    return WIDTH in operation.remeasured or STEP in affirmed


def other_kind(operation: Operation, anchor: Anchor) -> ImplantHere | None:
    """The implant inside at ``anchor`` when the stock calls it another kind than was planned."""
    here = operation.inside(anchor.name)
    return here if here is not None and here.entered.kind not in ("", anchor.implant) else None


def against_lines(operation: Operation) -> Iterator[RecordLine]:
    """Anchors put elsewhere and measures that changed, in mm; one line when nothing differs or nothing can be said."""
    opening, done = operation.first, done_layout(operation)
    if opening is None or opening.layout is None or done is None:
        yield RecordLine("against open", (), "missing")
        return
    planned = opening.layout
    changes = [*operation.deviations, *operation.of(Replanned)]
    events = tuple(sorted(kept.seq for kept, _ in changes))
    differs = False
    fill: tuple[tuple[str, str], ...]
    for anchor in planned.anchors:
        here = next((a for a in done.anchors if a.name == anchor.name), None)
        apart = hypot(here.u - anchor.u, here.v - anchor.v) if here else 0
        if apart > 0:
            differs = True
            moved = (("place", anchor.name), ("distance", f"{apart:.1f}"))
            yield RecordLine("against anchor", moved, "affirmed", events)
        other = other_kind(operation, anchor)
        if other is not None:
            differs = True
            kinds = (("place", anchor.name), ("before", anchor.implant), ("after", other.entered.kind))
            yield RecordLine("against implant", kinds, "entered", other.events)
    for which, some, others in (("against gone", planned, done), ("against new", done, planned)):
        there = {anchor.name for anchor in others.anchors}
        for anchor in some.anchors:
            if anchor.name not in there:
                differs = True
                yield RecordLine(which, (("place", anchor.name),), "affirmed", events)
    counts = [(len(x.anchors), len(x.stitches), len(x.holes)) for x in (planned, done)]
    for name, before, after in zip(("anchors", "stitches", "limbs"), *counts, strict=True):
        if before != after:
            differs = True
            fill = (("what", f"@{name}"), ("planned", str(before)), ("done", str(after)))
            yield RecordLine("against count", fill, "affirmed", events)
    words = dict(opening.sheet_words)
    for field, (kept, entry) in operation.remeasured.items():
        differs = True
        value = f"{entry.value:g} {entry.unit}"
        before_ = words.get(field, "@not known")
        fill = (("what", f"@field.{field}"), ("planned", before_), ("done", value))
        yield RecordLine("against count", fill, "entered", (kept.seq,))
    if not differs:
        yield RecordLine("against nothing", (), "computed")
