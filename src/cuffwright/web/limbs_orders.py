"""Moves and mishaps of a rehearsal as the browser may send them; nothing of a rehearsal is kept by the server."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from cuffwright.case.limb_plan import Mishap, MishapKind
from cuffwright.case.limbs import Move, MoveKind
from cuffwright.case.reach import Compartment
from cuffwright.course.limb_portals import FEWEST
from cuffwright.web.strict import Strict

LONGEST = 60
"""Numerical choice: no name is longer."""

MOST_LIMBS = 24
"""Numerical choice: no move is about more limbs."""

MOST_EVENTS = 600
"""Numerical choice: no rehearsal is longer; the longest plan known has 104 moves."""

FARTHEST_MM = 80.0
"""Numerical choice: no new anchor lies farther along the tear."""

NEEDS_ONE = ("pass", "penetrate", "unpass")
NEEDS_LIMBS = ("retrieve", "tie", "cut")
NEEDS_ANCHOR = ("insert", "test", "seat")
NEEDS_SOURCE = ("retrieve", "pass")

Name = Annotated[str, Field(max_length=LONGEST)]
Names = Annotated[list[Name], Field(max_length=MOST_LIMBS)]


class MoveOrder(Strict):
    """A move as it is made."""

    kind: MoveKind
    limbs: Names = Field(default_factory=list)
    source: Name = ""
    to: Name = ""
    anchor: Name = ""
    under: Names = Field(default_factory=list)
    grab: Literal["at the source", "mid-strand"] = "at the source"
    held: bool = True
    compartment: Compartment = "subacromial"

    @model_validator(mode="after")
    def whole(self) -> "MoveOrder":
        """Refuse a move that lacks what it is about."""
        if self.kind in NEEDS_ONE and len(self.limbs) != 1:
            raise ValueError(f"{self.kind} is about one limb at a time; choose one limb")
        if self.kind in NEEDS_LIMBS and not self.limbs:
            raise ValueError(f"{self.kind} is about limbs; choose them")
        if self.kind in NEEDS_ANCHOR and not self.anchor:
            raise ValueError(f"{self.kind} is about an anchor; choose one")
        if self.kind in NEEDS_SOURCE and not self.source:
            raise ValueError(f"{self.kind} needs the portal the limb hangs out of; it does not hang out of one")
        if self.kind not in ("test", "cut") and not self.to:
            raise ValueError(f"{self.kind} needs a portal; choose one")
        return self

    @property
    def move(self) -> Move:
        """The move as a value."""
        told = self.model_dump()
        return Move(**{**told, "limbs": tuple(self.limbs), "under": tuple(self.under)})


class MishapOrder(Strict):
    """Something that went wrong, and the surgeon's answer to it."""

    kind: MishapKind
    name: Name
    answer: Name = ""
    at: float | None = Field(default=None, ge=-FARTHEST_MM, le=FARTHEST_MM)
    limb: Name = ""

    @property
    def mishap(self) -> Mishap:
        """The mishap as a value."""
        return Mishap(**self.model_dump())


class EventOrder(Strict):
    """A move or a mishap."""

    move: MoveOrder | None = None
    mishap: MishapOrder | None = None

    @model_validator(mode="after")
    def one(self) -> "EventOrder":
        """Refuse both at once, and neither."""
        if (self.move is None) == (self.mishap is None):
            raise ValueError("an event is a move or a mishap; send one of them")
        return self

    @property
    def event(self) -> Move | Mishap:
        """The move or mishap as a value."""
        if self.move is not None:
            return self.move.move
        assert self.mishap is not None
        return self.mishap.mishap


class Rehearsal(Strict):
    """What happened in a rehearsal so far, the first first, and the set of portals it is worked through."""

    portals: Name = FEWEST
    events: Annotated[list[EventOrder], Field(max_length=MOST_EVENTS)] = Field(default_factory=list)

    @property
    def so_far(self) -> tuple[Move | Mishap, ...]:
        """The events as values."""
        return tuple(one.event for one in self.events)


class NextMove(Rehearsal):
    """A move the learner would make; ``anyway`` once a risk was told and taken."""

    move: MoveOrder
    anyway: bool = False
