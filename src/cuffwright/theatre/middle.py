"""The middle of an operation: the steps of the repair itself, the one place where a plan of limbs joins."""

from collections.abc import Iterator

from cuffwright.case.layout import Layout, Stitch
from cuffwright.case.operation import OperationStep

UNORDERED = "The order of limbs is not planned."


def repair_steps(layout: Layout | None) -> tuple[OperationStep, ...]:
    """The steps of the repair: all medial anchors, then every pass, every tie, every lateral anchor.

    Without a layout there is one step that says so.
    """
    if layout is None:
        return (OperationStep("repair", "Repair", "No repair pattern is chosen, so its steps are not laid out."),)
    return (*_anchors(layout), *_passes(layout), *_ties(layout), *_seats(layout))


def _anchors(layout: Layout) -> Iterator[OperationStep]:
    seats = {stitch.to for stitch in layout.stitches if stitch.to}
    for anchor in layout.anchors:
        if anchor.name not in seats:
            words = f"{anchor.implant}. Pull on it before any limb is passed."
            lines = (f"anchor {anchor.name}",)
            yield OperationStep(f"anchor {anchor.name}", f"Anchor {anchor.name}", words, lines=lines)


def _passes(layout: Layout) -> Iterator[OperationStep]:
    for hole in layout.holes:
        lines = tuple(_line(stitch) for stitch in layout.stitches if hole.name in stitch.holes)
        yield OperationStep(f"pass {hole.name}", f"Pass limb {hole.name}", UNORDERED, lines=lines, limbs=(hole.name,))


def _ties(layout: Layout) -> Iterator[OperationStep]:
    for stitch in sorted(layout.stitches, key=lambda s: s.stage):
        if stitch.to is None:
            yield OperationStep(
                f"tie {stitch.name}",
                f"Tie {'-'.join(stitch.holes)}",
                "Pair alone in the cannula; run the pusher down one limb; no twist.",
                lines=(_line(stitch),),
                limbs=stitch.holes,
            )


def _seats(layout: Layout) -> Iterator[OperationStep]:
    for anchor in layout.anchors:
        held = [stitch for stitch in layout.stitches if stitch.to == anchor.name]
        if held:
            limbs = tuple(limb for stitch in held for limb in stitch.holes)
            lines = (f"anchor {anchor.name}", *(_line(stitch) for stitch in held))
            words = f"{anchor.implant}. Takes {', '.join(limbs)}."
            title = f"Lateral anchor {anchor.name}"
            yield OperationStep(f"anchor {anchor.name}", title, words, lines=lines, limbs=limbs)


def _line(stitch: Stitch) -> str:
    return f"stitch {stitch.name}"
