"""The phase card: a whole plan in at most twelve rows."""

from collections.abc import Sequence

from cuffwright.case.limb_plan import LimbStep, Phase, PhaseRow
from cuffwright.case.limbs import LimbField
from cuffwright.limbs.words import shortened

ROWS = 12
"""Numerical choice: rows of the phase card; as many as one page holds in letters that are read from two metres."""

VERBS: dict[Phase, str] = {
    "anchor": "ANCHORS",
    "pass": "PASS",
    "view": "VIEW",
    "tie": "TIE",
    "lateral": "LATERAL",
    "correct": "CORRECT",
}
"""What a phase is called on the card."""

WORKING = ("insert", "test", "pass", "penetrate", "tie", "seat", "scope", "cannula", "unpass")
"""Moves that are the work itself; retrievals and cuts go with them."""


def phase_rows(field: LimbField, steps: Sequence[LimbStep], most: int = ROWS) -> tuple[PhaseRow, ...]:
    """The plan in at most ``most`` rows: one for each phase and anchor, neighbours joined until they fit."""
    groups: list[list[LimbStep]] = []
    for step in steps:
        if groups and _key(field, groups[-1][-1], steps) == _key(field, step, steps):
            groups[-1].append(step)
        else:
            groups.append([step])
    while len(groups) > most:
        groups = _joined(groups)
    return tuple(_row(field, group) for group in groups)


def _key(field: LimbField, step: LimbStep, steps: Sequence[LimbStep]) -> tuple[Phase, str]:
    """The phase and, in passing and tying, the anchor a step belongs to, by the next piece of work."""
    if step.phase not in ("pass", "tie", "lateral"):
        return step.phase, ""
    for later in steps[step.number - steps[0].number :]:
        if later.move.kind in ("pass", "penetrate", "tie"):
            return step.phase, field.suture(later.move.limbs[0]).carrier
        if later.move.kind == "seat":
            return step.phase, later.move.anchor
    return step.phase, ""


def _joined(groups: list[list[LimbStep]]) -> list[list[LimbStep]]:
    """The two neighbours of one phase with the fewest steps as one; without such, the two smallest neighbours."""
    pairs = range(len(groups) - 1)
    same = [k for k in pairs if groups[k][-1].phase == groups[k + 1][0].phase] or list(pairs)
    at = min(same, key=lambda k: (len(groups[k]) + len(groups[k + 1]), k))
    return [*groups[:at], groups[at] + groups[at + 1], *groups[at + 2 :]]


def _row(field: LimbField, group: list[LimbStep]) -> PhaseRow:
    verbs = list(dict.fromkeys(VERBS[step.phase] for step in group))
    work = [step for step in group if step.move.kind in WORKING]
    names: list[str] = []
    for step in work:
        if step.phase in ("anchor", "lateral"):
            names += [step.move.anchor] if step.move.anchor else []
        else:
            names += step.limbs
    codes = [field.portal(p).code for step in group for p in (step.source, step.to) if p]
    scope = field.portal(group[-1].scope).code
    shown = " ".join(dict.fromkeys(shortened(names)))
    return PhaseRow(group[0].number, group[-1].number, " + ".join(verbs), shown, " ".join(dict.fromkeys(codes)), scope)
