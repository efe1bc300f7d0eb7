"""The steps of one operation: a surgeon's template filled with this case's portals, looks and repair."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cuffwright.case.operation import OperationStep, OperationTemplate, TemplateStep

NEEDLE = "Confirm the place by needle before the skin is cut."
WATCHED = "First portal, by landmarks; every later one is confirmed by needle."


def operation_steps(
    template: OperationTemplate, repair: Sequence[OperationStep], *, bone_work: bool
) -> tuple[OperationStep, ...]:
    """All steps in their order.

    Parameters
    ----------
    template
        The surgeon's own order.
    repair
        The steps of the repair itself, from :func:`cuffwright.theatre.middle.repair_steps`.
    bone_work
        Whether work on bone was reasoned for; its steps are left out otherwise.
    """
    chosen = [step for step in template.steps if bone_work or not step.bone_work]
    return tuple(made for step in chosen for made in _made(step, template, repair))


def portals_of(template: OperationTemplate, repair: Sequence[OperationStep]) -> tuple[str, ...]:
    """The template's portals, and behind them those that only the steps of the ``repair`` use."""
    used = (portal for step in repair for portal in (*step.portals, step.scope) if portal)
    return tuple(dict.fromkeys((*template.portals, *used)))


def _made(step: TemplateStep, template: OperationTemplate, repair: Sequence[OperationStep]) -> Iterator[OperationStep]:
    plain = OperationStep(step.key, step.title, step.words, step.pause, step.asks)
    match step.each:
        case "once":
            yield replace(plain, lines=(f"step {step.key}",))
        case "portal":
            for place, portal in enumerate(portals_of(template, repair)):
                yield replace(
                    plain,
                    key=f"{step.key} {portal}",
                    title=f"{step.title}: {portal}",
                    words=" ".join(filter(None, (step.words, NEEDLE if place else WATCHED))),
                    lines=(f"portal {portal}",),
                    portals=(portal,),
                )
        case "tendon":
            for look in template.looks:
                yield replace(
                    plain,
                    key=f"{step.key} {look}",
                    title=f"{step.title}: {look}",
                    asks=(look,),
                    lines=(f"look {look}",),
                )
        case "repair":
            yield from repair
