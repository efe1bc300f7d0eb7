"""A record of moves checked: followed as made, each mistake named at its step, and the plan for what is left."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Finding, LimbPlan
from cuffwright.case.limbs import LimbField, LimbState, Move
from cuffwright.limbs.checking import counted, followed
from cuffwright.limbs.counts import Minutes
from cuffwright.limbs.planning import NO_LOG, make_plan
from cuffwright.limbs.words import Arm

Hanging = Mapping[str, Sequence[str]]
"""Which limbs were counted at which portal."""


@dataclass(frozen=True)
class Checked:
    """What was found in a record: findings by step, the step that asks for a count, the state, the plan from there.

    ``asked`` is the question after a move that cannot have been made as recorded; a count in the record answers it.
    ``refused`` says why there is no plan.
    """

    steps: int
    findings: tuple[Finding, ...]
    asked: str
    state: LimbState
    plan: LimbPlan | None
    refused: str

    def first(self, severity: str) -> Finding | None:
        """The first finding of a severity; None when there is none."""
        return next((one for one in self.findings if one.severity == severity), None)


def checked(
    field: LimbField,
    state: LimbState,
    records: Sequence[Move | Hanging],
    *,
    arm: Arm = lambda _: "",
    minutes: Minutes = NO_LOG,
) -> Checked:
    """Follow a record from a state; a count replaces what was thought of where limbs hang.

    Raises
    ------
    CaseError
        When a count leaves out a limb that hung, or names one twice.
    """
    findings, asked, at = list[Finding](), "", 0
    for part in _parts(records):
        if isinstance(part, Mapping):
            state, asked = counted(field, state, part), ""
            continue
        found = followed(field, state, part)
        findings += [replace(one, step=one.step + at) for one in found.findings]
        if found.census:
            asked = replace(found, census=tuple(step + at for step in found.census)).asked
        state, at = found.state, at + len(part)
    plan, refused = None, ""
    try:
        plan = make_plan(field, state, arm=arm, minutes=minutes)
    except CaseError as wrong:
        refused = str(wrong)
    return Checked(at, tuple(findings), asked, state, plan, refused)


def _parts(records: Sequence[Move | Hanging]) -> list[list[Move] | Hanging]:
    """Moves that follow one another as one list, counts apart."""
    parts: list[list[Move] | Hanging] = []
    for one in records:
        if not isinstance(one, Move):
            parts.append(one)
        elif parts and isinstance(parts[-1], list):
            parts[-1].append(one)
        else:
            parts.append([one])
    return parts
