"""An operation as steps: the surgeon's own template, and the steps it gives for one case."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import LimbField, LimbState, Move

Each = Literal["once", "portal", "tendon", "repair"]
"""What a template's step stands for: itself, every portal, every part of the first look, the repair's own steps."""


@dataclass(frozen=True)
class TemplateStep:
    """One step of a template.

    ``each`` multiplies it over portals or the parts looked at, or puts the steps of the repair in its place.
    ``bone_work`` marks a step that is there only when work on bone was reasoned for. ``pause`` marks a stop that
    belongs to the hospital's own checklist; ``asks`` names what is to be entered at it.
    """

    key: str
    title: str
    words: str = ""
    each: Each = "once"
    bone_work: bool = False
    pause: bool = False
    asks: tuple[str, ...] = ()


@dataclass(frozen=True)
class OperationTemplate:
    """A surgeon's own order of steps, versioned: ``portals`` in their order, ``looks`` the parts of the first look.

    ``position``, ``instruments`` and ``cannulas`` are words for the theatre sheet of the evening before.

    Raises
    ------
    CaseError
        At birth, when a step stands twice, or the repair's own steps have no place or two.
    """

    name: str
    version: str
    portals: tuple[str, ...]
    looks: tuple[str, ...]
    steps: tuple[TemplateStep, ...]
    position: str = ""
    instruments: tuple[str, ...] = ()
    cannulas: tuple[str, ...] = ()
    format: int = 1

    def __post_init__(self) -> None:
        keys = [step.key for step in self.steps]
        double = {key for key in keys if keys.count(key) > 1}
        if double:
            raise CaseError(f"step {min(double)} stands twice in the template {self.name}; name it once")
        if sum(step.each == "repair" for step in self.steps) != 1:
            raise CaseError(
                f'the template {self.name} needs exactly one step with each = "repair", where the repair goes'
            )


@dataclass(frozen=True)
class OperationStep:
    """One step of one operation, as theatre shows it.

    ``lines`` are the lines of the record it is about, such as ``anchor 1``; ``limbs`` those moved; ``portals`` source
    and goal of a move or the portal made; ``parked`` the limbs waiting in each portal afterwards. ``scope`` is the
    portal the arthroscope looks from, ``""`` unsaid.
    """

    key: str
    title: str
    words: str = ""
    pause: bool = False
    asks: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    limbs: tuple[str, ...] = ()
    portals: tuple[str, ...] = ()
    parked: tuple[tuple[str, tuple[str, ...]], ...] = ()
    scope: str = ""
    caution: str = ""


@dataclass(frozen=True)
class LimbsFollowed:
    """The plan of limbs that theatre follows: the field, the state its first move starts from, and its moves.

    ``moves`` holds each move under the key of its step, no key ever standing for two moves; ``arms`` the arm position
    of each site by name, in words.
    """

    field: LimbField
    state: LimbState
    moves: tuple[tuple[str, Move], ...]
    arms: tuple[tuple[str, str], ...] = ()
