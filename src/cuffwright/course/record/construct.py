"""The construct in lines: anchors, stitches and the end of every limb, and the layout as it was done."""

from collections.abc import Iterator
from dataclasses import replace

from cuffwright.case.layout import Anchor, Layout, Stitch
from cuffwright.case.record import RecordLine
from cuffwright.theatre import Line, Operation, lines
from cuffwright.theatre.standing import limb_ends


def anchor_lines(operation: Operation) -> Iterator[RecordLine]:
    """One line an anchor: where it was planned or put, and whether it was left out."""
    layout, by_key = _layout(operation), _by_key(operation)
    if layout is None:
        yield RecordLine("no pattern", (), "missing")
        return
    moved = moved_anchors(operation)
    for anchor in layout.anchors:
        line = by_key[f"anchor {anchor.name}"]
        at = moved.get(anchor.name, anchor)
        fill = (
            ("place", anchor.name),
            ("row", f"@row.{anchor.row}"),
            ("implant", _implant(operation, anchor)),
            ("u", _mm(at.u)),
            ("v", _mm(at.v)),
        )
        yield _standing_line("anchor left out" if line.left_out else "anchor", fill, line)
    known = {anchor.name for anchor in layout.anchors}
    before = operation.first.layout if operation.first else None
    planned = {anchor.name for anchor in before.anchors} if before else set()
    for key, line in by_key.items():
        place = key.removeprefix("anchor ")
        if place not in known | {key}:
            yield _standing_line("anchor given up" if place in planned else "anchor added", (("place", place),), line)


def stitch_lines(operation: Operation) -> Iterator[RecordLine]:
    """One line a stitch, in the order of tying."""
    layout, by_key = _layout(operation), _by_key(operation)
    for stitch in sorted(layout.stitches if layout else (), key=lambda s: s.stage):
        line = by_key[f"stitch {stitch.name}"]
        fill = (
            ("limbs", "-".join(stitch.holes)),
            ("kind", f"@stitch.{stitch.kind}"),
            ("from", stitch.anchor or "-"),
            ("to", stitch.to or "-"),
            ("knot", "@knotted" if stitch.knotted else "@knotless"),
        )
        yield _standing_line(_words(stitch, line), fill, line)


def limb_lines(operation: Operation) -> Iterator[RecordLine]:
    """Where every limb ended, by the plan and what was entered since."""
    by_key = _by_key(operation)
    for limb, end in limb_ends(operation).items():
        line = by_key.get(f"stitch {end}")
        fill = (("limb", limb), ("end", end))
        if line is None:
            taken = by_key.get(f"removed {limb[:-1]}")
            yield _removed(limb, [taken] if taken else [other for key, other in by_key.items() if limb in _limbs(key)])
        else:
            yield _standing_line("limb", fill, line)


def repair_complete(operation: Operation) -> bool:
    """Whether every anchor and every stitch is affirmed."""
    steps = [line for line in lines(operation) if line.key.startswith(("anchor ", "stitch "))]
    return bool(steps) and all(line.standing == "affirmed" for line in steps)


def done_layout(operation: Operation) -> Layout | None:
    """The layout as it was done: anchors where they were put, without what was left out.

    None without a plan, when nothing is left of it, or while an anchor or a stitch is not affirmed.
    """
    layout = _layout(operation)
    if layout is None or not repair_complete(operation):
        return None
    return without(layout, {line.key for line in lines(operation) if line.left_out}, moved_anchors(operation))


def without(layout: Layout, out: set[str], moved: dict[str, Anchor]) -> Layout | None:
    """A layout with some anchors elsewhere and without the lines in ``out``; None when no stitch is left."""
    anchors = tuple(moved.get(a.name, a) for a in layout.anchors if f"anchor {a.name}" not in out)
    kept = {anchor.name for anchor in anchors}
    stitches = tuple(
        stitch
        for stitch in layout.stitches
        if f"stitch {stitch.name}" not in out and {end for end in (stitch.anchor, stitch.to) if end} <= kept
    )
    held = {hole for stitch in stitches for hole in stitch.holes}
    holes = tuple(hole for hole in layout.holes if hole.name in held)
    return replace(layout, anchors=anchors, holes=holes, stitches=stitches) if stitches else None


def _layout(operation: Operation) -> Layout | None:
    return operation.opening.layout if operation.opening else None


def _by_key(operation: Operation) -> dict[str, Line]:
    return {line.key: line for line in lines(operation)}


def moved_anchors(operation: Operation) -> dict[str, Anchor]:
    """Anchors that were put elsewhere, where they were put last."""
    layout = _layout(operation)
    planned = {anchor.name: anchor for anchor in layout.anchors} if layout else {}
    found: dict[str, Anchor] = {}
    for _, entry in operation.deviations:
        place = entry.line.removeprefix("anchor ")
        if place in planned and entry.u is not None and entry.v is not None:
            found[place] = replace(planned[place], u=entry.u, v=entry.v)
    return found


def _removed(limb: str, held: list[Line]) -> RecordLine:
    """A limb that nothing holds: affirmed once every stitch it was planned in is."""
    events = tuple(sorted({seq for line in held for seq in line.events}))
    sure = bool(held) and all(line.standing == "affirmed" for line in held)
    person = held[0].person if sure else ""
    return RecordLine("limb removed", (("limb", limb),), "affirmed" if sure else "changed, unconfirmed", events, person)


def _limbs(key: str) -> tuple[str, ...]:
    """The limbs of a stitch's line, by its name."""
    kind, _, name = key.partition(" ")
    return tuple(name.partition(">")[0].split("-")) if kind == "stitch" else ()


def _implant(operation: Operation, anchor: Anchor) -> str:
    """What was put in, by the stock or its label; before that the kind that is planned."""
    here = operation.inside(anchor.name)
    return (here.entered.item or here.entered.label.identifier) if here else anchor.implant


def _words(stitch: Stitch, line: Line) -> str:
    if line.left_out:
        return "stitch left out"
    return "stitch bridging" if stitch.to else "stitch"


def _standing_line(words: str, fill: tuple[tuple[str, str], ...], line: Line) -> RecordLine:
    return RecordLine(words, fill, line.standing, line.events, line.person)


def _mm(value: float) -> str:
    return f"{value:.1f}"
