"""Implants as opened on the table: which anchor each becomes, the looks of its threads, what its eyelet admits."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError

ThreadColour = Literal["orange", "sky blue", "green", "yellow", "blue", "vermilion", "purple", "black"]
ThreadPattern = Literal["solid", "tracer", "dashed"]


@dataclass(frozen=True)
class Thread:
    """One suture as it looks in the pack: its letter on the anchor, colour and pattern."""

    letter: str
    colour: ThreadColour
    pattern: ThreadPattern


@dataclass(frozen=True)
class OpenedImplant:
    """An implant whose pack is open: the anchor it becomes, its threads, how many sutures its eyelet admits.

    Raises
    ------
    CaseError
        At birth, when a letter stands twice or the eyelet admits fewer than one suture.
    """

    anchor: str
    threads: tuple[Thread, ...] = ()
    eyelet: int | None = None

    def __post_init__(self) -> None:
        letters = [thread.letter for thread in self.threads]
        if len(set(letters)) < len(letters):
            raise CaseError(f"implants.opened: anchor {self.anchor} has a thread letter twice; name each once")
        if self.eyelet is not None and self.eyelet < 1:
            raise CaseError(f"implants.opened: the eyelet of anchor {self.anchor} must admit at least 1 suture")


@dataclass(frozen=True)
class Implants:
    """What was opened; nothing is known of packs that are not.

    Raises
    ------
    CaseError
        At birth, when two packs are said to become the same anchor.
    """

    opened: tuple[OpenedImplant, ...] = ()

    def __post_init__(self) -> None:
        names = [one.anchor for one in self.opened]
        double = {name for name in names if names.count(name) > 1}
        if double:
            raise CaseError(f"implants.opened names anchor {min(double)} twice; one pack becomes one anchor")
