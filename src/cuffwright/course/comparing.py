"""What tells two repairs of one shoulder apart, in words."""

from collections.abc import Iterator

from cuffwright.case.layout import Anchor, Hole, Layout
from cuffwright.repair.patterns import patterns

TOLD = 0.25
"""Numerical choice: a place less than this apart (mm) is the same place to a surgeon."""

Placed = Anchor | Hole


def differences(one: Layout, other: Layout) -> tuple[str, ...]:
    """How ``one`` differs from ``other``, each in a short phrase; none when they are alike."""
    if one.pattern != other.pattern:
        here, there = _counts(one), _counts(other)
        counted = () if here == there else (f"{here} instead of {there}",)
        return (f"{titled(one)} instead of {titled(other)}", *counted)
    return tuple(_of_one_pattern(one, other))


def titled(layout: Layout) -> str:
    """The pattern a surgeon reads, and whether a hand has changed it."""
    return patterns()[layout.pattern].title + (", changed by hand" if layout.edited else "")


def _counts(layout: Layout) -> str:
    rows = [str(len(layout.row(row))) for row in ("medial", "lateral") if layout.row(row)]
    return f"{' + '.join(rows)} anchors, {len(layout.holes)} limbs"


def _of_one_pattern(one: Layout, other: Layout) -> Iterator[str]:
    for what, here, there in (("anchor", one.anchors, other.anchors), ("limb", one.holes, other.holes)):
        ours, theirs = ({part.name: part for part in parts} for parts in (here, there))
        yield from (f"{what} {name} more" for name in ours if name not in theirs)
        yield from (f"{what} {name} less" for name in theirs if name not in ours)
        for name, part in ours.items():
            if name in theirs:
                yield from _moved(f"{what} {name}", part, theirs[name])
    yield from _run_otherwise(one, other)


def _moved(what: str, here: Placed, there: Placed) -> Iterator[str]:
    if isinstance(here, Anchor) and isinstance(there, Anchor) and here.implant != there.implant:
        yield f"{what} {here.implant} instead of {there.implant}"
    ways = ((here.u - there.u, "back", "forward"), (here.v - there.v, "lateral", "medial"))
    told = [f"{abs(by):.1f} mm {more if by > 0 else less}" for by, more, less in ways if abs(by) >= TOLD]
    if told:
        yield f"{what} {' and '.join(told)}"


def _run_otherwise(one: Layout, other: Layout) -> Iterator[str]:
    ours, theirs = _ways(one), _ways(other)
    for name, way in ours.items():
        if name in theirs and way != theirs[name]:
            yield f"limb {name} {way} instead of {theirs[name]}"


def _ways(layout: Layout) -> dict[str, str]:
    """How each limb is tied and where it runs, by its name."""
    found: dict[str, list[str]] = {}
    for stitch in layout.stitches:
        way = f"to {stitch.to}" if stitch.to else stitch.kind
        for name in stitch.holes:
            found.setdefault(name, []).append(way)
    return {name: ", ".join(sorted(ways)) for name, ways in found.items()}
