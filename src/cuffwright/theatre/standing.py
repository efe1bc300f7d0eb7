"""The lines of the record that a person can affirm, and how each stands.

An affirmation holds until a later entry touches its line; then the line waits to be affirmed again.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from cuffwright.case.entry import (
    Affirmed,
    Deviation,
    Entry,
    Finding,
    Kept,
    MishapEntered,
    Replanned,
    StepLeft,
    TheatreOpened,
)
from cuffwright.case.entry import ImplantEntered as Entered
from cuffwright.case.layout import TUNNEL, Layout, Stitch
from cuffwright.theatre.operation import Operation

DAY = "identity.operation_date"
"""The field of the sheet that names the planned day."""

Standing = Literal["planned, unconfirmed", "changed, unconfirmed", "affirmed"]


@dataclass(frozen=True)
class Line:
    """One line: its key, how it stands, whether it was left out, who affirmed it, and its entries by number."""

    key: str
    standing: Standing
    left_out: bool = False
    person: str = ""
    events: tuple[int, ...] = ()


def line_keys(operation: Operation) -> tuple[str, ...]:
    """Every line of this operation, in the order of its steps, then what was added by implants elsewhere."""
    opening = operation.opening
    planned = [line for step in opening.steps for line in step.lines] if opening else []
    added = [f"anchor {i.entered.place}" for i in operation.implants if i.entered.place]
    return tuple(dict.fromkeys([*planned, *added]))


def lines(operation: Operation) -> tuple[Line, ...]:
    """How every line stands."""
    touched: dict[str, list[Kept]] = {}
    affirmed: dict[str, tuple[Kept, Affirmed]] = {}
    names = _names(operation)
    before = operation.first.layout if operation.first else None
    for kept in operation.entries:
        if isinstance(kept.entry, Replanned):
            for key in _replanned(before, kept.entry.layout):
                touched.setdefault(key, []).append(kept)
            before = kept.entry.layout
        hit = operation.withdrawn.get(kept.seq)
        for key in _touches(kept.entry, names, operation):
            touched.setdefault(key, []).append(kept)
            if hit is not None:
                touched[key].append(hit)
        if isinstance(kept.entry, Affirmed) and hit is None:
            affirmed |= {key: (kept, kept.entry) for key in kept.entry.lines}
    return tuple(_line(key, touched.get(key, []), affirmed.get(key), operation) for key in line_keys(operation))


def planned_day(opening: TheatreOpened) -> str | None:
    """The day the operation was planned for, when theatre was opened on another one."""
    planned = dict(opening.sheet_words).get(DAY)
    return planned if planned and planned != opening.day.isoformat() else None


def needs_implant(operation: Operation, place: str) -> bool:
    """Whether something from a box goes in at ``place``: at no mouth of a bone tunnel, and nowhere unplanned."""
    layout = operation.opening.layout if operation.opening else None
    return any(anchor.implant != TUNNEL for anchor in (layout.anchors if layout else ()) if anchor.name == place)


def limb_ends(operation: Operation) -> dict[str, str]:
    """Where every limb of the plan ended: the stitch that holds it last, or ``removed``; each has exactly one end."""
    opening = operation.opening
    if opening is None or opening.layout is None:
        return {}
    out = {entry.line for _, entry in operation.deviations if entry.left_out}
    gone = {i.entered.place for i in operation.implants if i.where == "removed"}
    gone -= {i.entered.place for i in operation.implants if i.where == "inside"}
    here = {hole.name: _end(opening.layout, hole.name, out, gone) for hole in opening.layout.holes}
    before = [operation.from_repair, *(entry for _, entry in operation.of(Replanned) if entry.made == "in theatre")]
    limbs = [hole.name for plan in before if plan is not None and plan.layout for hole in plan.layout.holes]
    return {limb: here.get(limb, "removed") for limb in dict.fromkeys([*limbs, *here])}


def _end(layout: Layout, limb: str, out: set[str], gone: set[str]) -> str:
    held = [
        stitch
        for stitch in layout.stitches
        if limb in stitch.holes and f"stitch {stitch.name}" not in out and not _lost(stitch, out, gone)
    ]
    return max(held, key=lambda stitch: stitch.stage).name if held else "removed"


def _lost(stitch: Stitch, out: set[str], gone: set[str]) -> bool:
    ends = {end for end in (stitch.anchor, stitch.to) if end}
    return bool(ends & gone) or any(f"anchor {end}" in out for end in ends)


def _replanned(before: Layout | None, after: Layout | None) -> set[str]:
    """The lines of a new plan that were not in the one before, or were otherwise."""
    told = [
        {
            **{f"anchor {anchor.name}": anchor for anchor in (layout.anchors if layout else ())},
            **{f"stitch {stitch.name}": stitch for stitch in (layout.stitches if layout else ())},
        }
        for layout in (before, after)
    ]
    return {key for key, part in told[1].items() if told[0].get(key) != part}


def _line(key: str, touched: list[Kept], affirmed: tuple[Kept, Affirmed] | None, operation: Operation) -> Line:
    events = tuple(sorted({kept.seq for kept in touched}))
    last = [e.left_out for _, e in operation.deviations if e.line == key]
    left_out = bool(last) and last[-1]
    changes = [kept.seq for kept in touched if not isinstance(kept.entry, StepLeft)]
    if affirmed is not None and all(seq < affirmed[0].seq for seq in changes):
        return Line(key, "affirmed", left_out, affirmed[1].person, tuple(sorted({*events, affirmed[0].seq})))
    return Line(key, "changed, unconfirmed" if changes else "planned, unconfirmed", left_out, "", events)


def _names(operation: Operation) -> dict[str, tuple[str, ...]]:
    """The lines of every step, and the line of every implant's place."""
    steps = {key: step.lines for key, step in operation.every_step.items()}
    places = {
        kept.entry.implant: (f"anchor {kept.entry.place}",)
        for kept in operation.entries
        if isinstance(kept.entry, Entered)
    }
    return {
        **{f"step:{key}": lines_ for key, lines_ in steps.items()},
        **{f"implant:{k}": v for k, v in places.items()},
    }


def _touches(entry: Entry, names: dict[str, tuple[str, ...]], operation: Operation) -> Iterator[str]:
    if isinstance(entry, StepLeft):
        yield from names.get(f"step:{entry.step}", ())
    elif isinstance(entry, Finding):
        yield f"look {entry.about}"
    elif isinstance(entry, Deviation):
        yield entry.line
    elif isinstance(entry, MishapEntered):
        yield from _befallen(entry, operation)
    elif hasattr(entry, "implant"):
        yield from names.get(f"implant:{entry.implant}", ())


def _befallen(entry: MishapEntered, operation: Operation) -> Iterator[str]:
    """The lines a mishap touches: the anchor, portal or stitch it names, and the stitches of that anchor or limb."""
    yield from (f"anchor {entry.name}", f"portal {entry.name}", f"stitch {entry.name}")
    layout = operation.opening.layout if operation.opening else None
    for stitch in layout.stitches if layout and entry.name else ():
        sutures = {part for hole in stitch.holes for part in (hole, hole[:-1])}
        if entry.name in {stitch.anchor, stitch.to, *sutures}:
            yield f"stitch {stitch.name}"
