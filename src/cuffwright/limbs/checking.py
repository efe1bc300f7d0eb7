"""The live checker: a recorded list of moves followed as it was made, with what was wrong, why, and what to do."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Finding
from cuffwright.case.limbs import LimbAt, LimbField, LimbState, Move
from cuffwright.limbs.coding import Board, lives
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.judge import apply, judge
from cuffwright.limbs.remedies import REMEDIES
from cuffwright.limbs.tangle import Layers

HANDLED = ("retrieve", "pass", "penetrate", "tie", "unpass")
"""Moves whose limbs must hang out of a portal."""


@dataclass(frozen=True)
class Followed:
    """A list of records as followed: findings with their step, the state at the end, steps that ask for a census."""

    findings: tuple[Finding, ...]
    state: LimbState
    census: tuple[int, ...] = ()

    def first(self, severity: str) -> Finding | None:
        """The first finding of a severity; None when there is none."""
        return next((f for f in self.findings if f.severity == severity), None)

    @property
    def asked(self) -> str:
        """The question after an impossible record; ``""`` when every record was possible."""
        if not self.census:
            return ""
        return f"step {self.census[0]} cannot have been made as recorded: which limbs hang out of which portal now?"


def followed(field: LimbField, state: LimbState, records: Sequence[Move]) -> Followed:
    """Judge each record, then follow it as made, illegal ones too; an impossible one changes nothing.

    A record that names a limb where it is not, or a name that is not there, asks for a census.
    """
    found: list[Finding] = []
    census: list[int] = []
    diagram = Diagram(Board(field))
    for step, move in enumerate(records, 1):
        try:
            said = judge(field, state, move, diagram)
            possible = not _impossible(state, move, said)
            state = apply(field, state, move, diagram) if possible else state
        except CaseError as wrong:
            said, possible = (Finding("where", "illegal", str(wrong), REMEDIES["where"], move.limbs),), False
        found += [replace(f, step=step) for f in said]
        if not possible or any(f.rule == "where" for f in said):
            census.append(step)
    return Followed(tuple(found), state, tuple(census))


def _impossible(state: LimbState, move: Move, said: Sequence[Finding]) -> bool:
    """Whether the record cannot be followed: a limb that hangs nowhere, an anchor in twice, a knot without its pair."""
    if move.kind in HANDLED and any(state.limb(x).stage not in ("unpassed", "passed", "knotted") for x in move.limbs):
        return True
    return move.kind in ("insert", "tie", "cut", "unpass") and any(
        f.rule in ("where", "cut-after-knot") and f.severity == "illegal" for f in said
    )


def counted(field: LimbField, state: LimbState, hanging: Mapping[str, Sequence[str]]) -> LimbState:
    """The state after a census: every limb where it was seen, and not trusted where that is news.

    Raises
    ------
    CaseError
        When a limb that hung out of a portal is not named, is named twice, or was already brought to its end.
    """
    seen: dict[str, str] = {}
    for portal, limbs in hanging.items():
        for limb in limbs:
            if limb in seen:
                raise CaseError(f"limb {limb} is counted twice; say which portal it hangs out of")
            seen[limb] = field.portal(portal).name
    found = tuple(_seen(limb, seen) for limb in state.limbs)
    lost = set(seen) - {x.limb for x in state.limbs}
    if lost:
        raise CaseError(f"there is no limb {min(lost)} here; count only limbs of this repair")
    moved = {a.limb for a, b in zip(found, state.limbs, strict=True) if a != b}
    together = tuple(q for q in state.together if not moved & set(field.suture(q).limbs))
    return _untrusted(field, replace(state, limbs=found, together=together), moved)


def _seen(limb: LimbAt, seen: Mapping[str, str]) -> LimbAt:
    hangs = limb.stage in ("unpassed", "passed", "knotted")
    if limb.limb in seen:
        if limb.stage in ("fixed", "cut", "removed"):
            raise CaseError(f"limb {limb.limb} is {limb.stage} and cannot hang out of a portal; look which limb it is")
        return LimbAt(limb.limb, limb.stage if hangs else "unpassed", seen[limb.limb])
    if hangs:
        raise CaseError(f"limb {limb.limb} is not counted; say which portal it hangs out of, or that it is lost")
    return limb


def _untrusted(field: LimbField, state: LimbState, moved: set[str]) -> LimbState:
    """The state with every crossing of a limb that was not where it was thought made suspect."""
    board = Board(field)
    at, layers = board.coded(state).at, Layers.of(board, state)
    over = {pair for pair in state.over if not moved & set(pair)}
    suspect = {pair for pair in state.suspect if not moved & set(pair)}
    for i, name in enumerate(board.limbs):
        if name in moved and lives(at[i]):
            for j in layers.diagram.crossed(at, i):
                one, two = sorted((i, j))
                suspect.add((board.limbs[one], board.limbs[two]))
    return replace(state, over=tuple(sorted(over)), suspect=tuple(sorted(suspect)))
