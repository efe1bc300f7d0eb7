"""The repair as it stands in the middle of an operation, if the rest goes as planned."""

from dataclasses import replace

from cuffwright.case.entry import Affirmed, ImplantEntered, Replanned
from cuffwright.case.layout import Layout, Stitch
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.record.construct import moved_anchors, without
from cuffwright.theatre import Operation, lines

LOST = ("suture unloaded", "suture broke", "knot failed")
"""Mishaps after which a suture holds nothing until its stitches are affirmed again."""

MEASURED = ("tear.width_mm", "tear.retraction_mm", "tear.thickness_mm")
"""Fields of the sheet that a measure taken in theatre replaces."""


def present_layout(operation: Operation) -> Layout | None:
    """The layout less what was lost or left out, anchors where they were put; None when nothing would hold.

    Mishaps from which the limbs were planned anew are in the plan already. An anchor is lost when it came out and no
    implant was put in its place since; a suture when it broke, unloaded or its knot failed, and its stitch was not
    affirmed since.
    """
    layout = operation.opening.layout if operation.opening else None
    if layout is None:
        return None
    out = {line.key for line in lines(operation) if line.left_out}
    out |= {f"anchor {place}" for place in _lost_anchors(operation, layout)}
    out |= {f"stitch {stitch.name}" for stitch in layout.stitches if _is_lost(operation, stitch)}
    return without(layout, out, moved_anchors(operation))


def changed(operation: Operation) -> bool:
    """Whether anything was entered that bears on what the repair will hold."""
    return bool(
        operation.mishaps
        or operation.of(Replanned)
        or operation.deviations
        or any(i.where == "removed" for i in operation.implants)
    )


def felt(sheet: CaseSheet, operation: Operation) -> CaseSheet:
    """The sheet with the tear as measured in theatre, and tissue and bone as they were found to be."""
    found: dict[str, Measurement] = {}
    for field, (kept, entry) in operation.remeasured.items():
        if field in MEASURED:
            trace = f"theatre, entry {kept.seq}"
            found[field.removeprefix("tear.")] = Measurement(entry.value, 0.0, "probe", trace)
    tear = sheet.tear
    if found:
        tear = replace(
            tear,
            width_mm=found.get("width_mm", tear.width_mm),
            retraction_mm=found.get("retraction_mm", tear.retraction_mm),
            thickness_mm=found.get("thickness_mm", tear.thickness_mm),
            remeasured_after_debridement=True,
        )
    kinds = {entry.kind for _, entry in operation.mishaps}
    if "poor tissue" in kinds:
        tear = replace(tear, tissue="poor")
    bone = replace(sheet.bone, quality="poor") if "soft bone" in kinds else sheet.bone
    return replace(sheet, tear=tear, bone=bone)


def _lost_anchors(operation: Operation, layout: Layout) -> set[str]:
    names, answered = {anchor.name for anchor in layout.anchors}, _answered(operation)
    befell = [(kept.seq, e.name) for kept, e in operation.mishaps if e.kind == "anchor out" and e.name in names]
    out = {name: seq for seq, name in befell if seq not in answered}
    out |= {i.entered.place: i.events[-1] for i in operation.implants if i.where == "removed"}
    put = {entry.place: kept.seq for kept, entry in operation.of(ImplantEntered)}
    again = {name for seq, name in befell if seq in answered and put.get(name, 0) < seq}
    out = {place: seq for place, seq in out.items() if place not in again}
    return {place for place, seq in out.items() if operation.inside(place) is None or put.get(place, 0) < seq}


def _answered(operation: Operation) -> set[int]:
    """The mishaps from which the limbs were planned anew: the plan that is followed reckons with them."""
    return {seq for _, entry in operation.of(Replanned) for seq in entry.because}


def _is_lost(operation: Operation, stitch: Stitch) -> bool:
    sutures, answered = {part for hole in stitch.holes for part in (hole, hole[:-1])}, _answered(operation)
    befell = [kept.seq for kept, e in operation.mishaps if e.kind in LOST and e.name in sutures]
    befell = [seq for seq in befell if seq not in answered]
    key = f"stitch {stitch.name}"
    again = [kept.seq for kept, entry in operation.of(Affirmed) if key in entry.lines]
    return bool(befell) and max(again, default=0) < max(befell)
