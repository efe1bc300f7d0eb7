"""Orders that change the repair itself and the shelf, checked field by field."""

from collections.abc import Callable
from typing import Any, Literal

from pydantic import Field

from cuffwright.case.layout import Row
from cuffwright.course.board import Command
from cuffwright.course.editing import (
    AddAnchor,
    AddSuture,
    ChangeImplant,
    ChangeKind,
    Edit,
    RemoveAnchor,
    RemoveLimb,
    RouteLimb,
)
from cuffwright.course.shelf import DropVersion, KeepVersion, TakeVersion
from cuffwright.web.strict import Strict

FARTHEST_MM = 200.0
"""Numerical choice: no point of a shoulder lies farther out on the chart; the bone itself ends much earlier."""

NAME = Field(min_length=1, max_length=12)


class Seat(Strict):
    """A row and a place on the chart, mm."""

    row: Row
    u: float = Field(ge=-FARTHEST_MM, le=FARTHEST_MM)
    v: float = Field(ge=-FARTHEST_MM, le=FARTHEST_MM)


class Part(Strict):
    """An anchor or a limb by its name."""

    name: str = NAME


class Suture(Strict):
    """A suture of a kind at an anchor."""

    anchor: str = NAME
    kind: Literal["simple", "mattress"]


class Run(Strict):
    """A limb and the lateral anchor it runs to; null ends it at its knot."""

    name: str = NAME
    to: str | None = Field(max_length=12)


class Tied(Strict):
    """How the sutures of an anchor are tied."""

    anchor: str = NAME
    kind: Literal["mattress", "simple", "knotless"]


class Implanted(Strict):
    """Which implant sits at an anchor."""

    anchor: str = NAME
    implant: str = Field(min_length=1, max_length=40)


class Shelved(Strict):
    """A version by its name."""

    name: str = Field(min_length=1, max_length=40, pattern=r"^[^\x00-\x1f]*[^\x00-\x20][^\x00-\x1f]*$")


EDIT_ORDERS: dict[str, tuple[type[Strict], Callable[[Any], Edit | Command]]] = {
    "add-anchor": (Seat, lambda order: AddAnchor(order.row, order.u, order.v)),
    "remove-anchor": (Part, lambda order: RemoveAnchor(order.name)),
    "add-suture": (Suture, lambda order: AddSuture(order.anchor, order.kind)),
    "remove-limb": (Part, lambda order: RemoveLimb(order.name)),
    "route-limb": (Run, lambda order: RouteLimb(order.name, order.to)),
    "change-kind": (Tied, lambda order: ChangeKind(order.anchor, order.kind)),
    "change-implant": (Implanted, lambda order: ChangeImplant(order.anchor, order.implant)),
    "keep-version": (Shelved, lambda order: KeepVersion(order.name.strip())),
    "drop-version": (Shelved, lambda order: DropVersion(order.name)),
    "take-version": (Shelved, lambda order: TakeVersion(order.name)),
}
"""Each such order by its kind: what it must hold, and what it asks for."""
