"""The middle of an operation: the steps of the repair itself, the one place where a plan of limbs joins."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Protocol

from cuffwright.case.layout import Layout, Stitch
from cuffwright.case.operation import OperationStep

AT_ONCE = "at once"
"""How the key ends of the step that says what is done before the first move of a plan made in theatre."""

REST = "rest of the repair"

UNORDERED = "The order of limbs is not planned."


class PlannedMove(Protocol):
    """The move of a planned step: its kind, and the anchor it is about, empty for none."""

    @property
    def kind(self) -> str:
        """What is done, such as ``insert``, ``pass``, ``tie`` or ``seat``."""
        ...

    @property
    def anchor(self) -> str:
        """The anchor put in, pulled on or seated."""
        ...


class PlannedStep(Protocol):
    """A step of a plan of limbs, as theatre needs it; a step of a limb plan is one."""

    @property
    def number(self) -> int:
        """Its place in the plan, from 1."""
        ...

    @property
    def move(self) -> PlannedMove:
        """The move itself."""
        ...

    @property
    def words(self) -> str:
        """The move in words."""
        ...

    @property
    def limbs(self) -> tuple[str, ...]:
        """The limbs moved or tied."""
        ...

    @property
    def source(self) -> str:
        """The portal they come from."""
        ...

    @property
    def to(self) -> str:
        """The portal they go to."""
        ...

    @property
    def scope(self) -> str:
        """The portal the arthroscope looks from."""
        ...

    @property
    def arm(self) -> str:
        """The arm position, in words."""
        ...

    @property
    def parked(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The limbs that wait in each portal afterwards."""
        ...

    @property
    def caution(self) -> str:
        """What to look at with it."""
        ...


def repair_steps(
    layout: Layout | None, planned: Sequence[PlannedStep] | None = None, keys: Sequence[str] = ()
) -> tuple[OperationStep, ...]:
    """The steps of the repair.

    Parameters
    ----------
    layout
        The repair; without one there is one step that says so.
    planned
        The steps of a plan of limbs, taken one by one. Without it: all medial anchors, then every pass, every tie,
        every lateral anchor, and each pass says that the order of limbs is not planned.
    keys
        The keys of the planned steps, in their order; numbered from 1 unless given.
    """
    if layout is None:
        return (OperationStep("repair", "Repair", "No repair pattern is chosen, so its steps are not laid out."),)
    if planned:
        keys = keys or move_keys("", planned)
        made = tuple(_planned(key, step, layout) for key, step in zip(keys, planned, strict=True))
        return (*made, *_forgotten(layout, {line for step in made for line in step.lines}))
    return (*_anchors(layout), *_passes(layout), *_ties(layout), *_seats(layout))


def move_keys(plan: str, planned: Sequence[PlannedStep]) -> tuple[str, ...]:
    """The key of the step of every move of a plan."""
    return tuple(f"{plan} limb move {step.number}".strip() for step in planned)


def replanned_steps(
    steps: Sequence[OperationStep],
    left: Sequence[str],
    layout: Layout,
    planned: Sequence[PlannedStep],
    plan: str,
    first: OperationStep | None,
) -> tuple[OperationStep, ...]:
    """The steps of an operation whose limbs are planned anew in the middle of it.

    Parameters
    ----------
    steps
        The steps followed so far; those of the repair that are not ``left`` give way to the new ones.
    left
        The keys of the steps left behind. They stay, about what of the new ``layout`` they were about.
    planned, plan
        The steps of the new plan, and what it is called in their keys.
    first
        What is done before the first of them, if anything.
    """
    wanted = {f"anchor {anchor.name}" for anchor in layout.anchors} | {_line(stitch) for stitch in layout.stitches}
    middle = [step for step in steps if _of_repair(step)]
    behind = [
        replace(step, lines=tuple(line for line in step.lines if line in wanted or line.startswith("removed ")))
        for step in middle
        if step.key in left and not step.key.startswith(REST)
    ]
    made = [first] if first is not None else []
    made += [_planned(key, step, layout) for key, step in zip(move_keys(plan, planned), planned, strict=True)]
    told = {line for step in (*behind, *made) for line in step.lines}
    made += [replace(step, key=f"{REST}, {plan}") for step in _forgotten(layout, told)]
    at = steps.index(middle[0]) if middle else len(steps)
    others = [step for step in steps if not _of_repair(step)]
    return (*others[:at], *behind, *made, *others[at:])


def _of_repair(step: OperationStep) -> bool:
    """Whether a step belongs to a plan of limbs."""
    return "limb move" in step.key or step.key.endswith(AT_ONCE) or step.key.startswith(REST)


def _planned(key: str, step: PlannedStep, layout: Layout) -> OperationStep:
    anchor = step.move.anchor
    lines = [f"anchor {anchor}"] if anchor and step.move.kind in ("insert", "seat", "test") else []
    if step.move.kind not in ("insert", "test"):
        lines += [_line(stitch) for stitch in layout.stitches if _meets(stitch, step)]
    ways = (f"arthroscope {step.scope}" if step.scope else "", f"arm {step.arm}" if step.arm else "")
    return OperationStep(
        key=key,
        title=step.words,
        words="; ".join(filter(None, ways)),
        lines=tuple(lines),
        limbs=step.limbs,
        portals=tuple(portal for portal in (step.source, step.to) if portal),
        parked=step.parked,
        scope=step.scope,
        caution=step.caution,
    )


def _meets(stitch: Stitch, step: PlannedStep) -> bool:
    """Whether a move makes a stitch: passes one of its limbs, ties them, or seats the anchor it runs to."""
    if step.move.kind == "seat":
        return stitch.to == step.move.anchor
    if step.move.kind == "tie":
        return stitch.to is None and set(stitch.holes) <= set(step.limbs)
    return step.move.kind in ("pass", "penetrate") and bool(set(stitch.holes) & set(step.limbs))


def _forgotten(layout: Layout, told: set[str]) -> Iterator[OperationStep]:
    """A last step for the lines no planned step is about, so that every one can be affirmed."""
    wanted = [f"anchor {anchor.name}" for anchor in layout.anchors] + [_line(stitch) for stitch in layout.stitches]
    left = tuple(line for line in wanted if line not in told)
    if left:
        yield OperationStep(REST, "Rest of the repair", f"Not in the plan of limbs: {', '.join(left)}.", lines=left)


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
