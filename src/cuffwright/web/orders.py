"""What the browser may send, checked field by field before anything else sees it."""

from typing import Any, Literal, TypeVar, get_args

from pydantic import Field, ValidationError

from cuffwright.course.arming import MovePortal, SetArm
from cuffwright.course.board import BringBack, ChoosePattern, Command, MoveAnchor, MoveHole, PutAway, Redo, Undo
from cuffwright.course.editing import Edit
from cuffwright.web.access_orders import ArmOrder, PortalOrder
from cuffwright.web.edit_orders import EDIT_ORDERS, FARTHEST_MM
from cuffwright.web.measuring import SetMeasures
from cuffwright.web.refusal import Refusal
from cuffwright.web.short_path import ShortPath
from cuffwright.web.strict import Strict

Kind = Literal[
    "choose-pattern",
    "move-anchor",
    "move-hole",
    "add-anchor",
    "remove-anchor",
    "add-suture",
    "remove-limb",
    "route-limb",
    "change-kind",
    "change-implant",
    "keep-version",
    "drop-version",
    "take-version",
    "set-measures",
    "set-arm",
    "move-portal",
    "undo",
    "redo",
    "archive",
    "restore",
]

Tried = Literal["choose-pattern", "move-anchor", "move-hole"]

TRIED: tuple[str, ...] = get_args(Tried)
"""The kinds of change that can be looked at without being made."""

T = TypeVar("T", bound=Strict)


class Named(Strict):
    """A pattern by its name."""

    name: str = Field(min_length=1, max_length=40)


class Point(Strict):
    """A named thing and the place it goes to, chart mm."""

    name: str = Field(min_length=1, max_length=12)
    u: float = Field(ge=-FARTHEST_MM, le=FARTHEST_MM)
    v: float = Field(ge=-FARTHEST_MM, le=FARTHEST_MM)


class Written(Strict):
    """Values for the sheet by path, each as a case file holds it; null makes one unknown again."""

    values: dict[str, Any] = Field(min_length=1, max_length=40)


class Nothing(Strict):
    """No payload."""


class Trial(Strict):
    """A change to look at without making it."""

    kind: Tried
    payload: dict[str, Any]


class Order(Strict):
    """A command: its own id, the sequence number it was made at, what it does."""

    id: str = Field(min_length=8, max_length=64, pattern=r"^[A-Za-z0-9-]+$")
    expected: int = Field(ge=0, le=2**53)
    kind: Kind
    payload: dict[str, Any] = Field(default_factory=dict)


class NewCase(Strict):
    """A new case: the name of an invented demo case, the text of a case file, a case to copy, or five measures."""

    demo: str | None = Field(default=None, max_length=80)
    toml: str | None = Field(default=None, max_length=200_000)
    copy_of: str | None = Field(default=None, max_length=40)
    short: ShortPath | None = None


PAYLOADS: dict[str, type[Strict]] = {
    "choose-pattern": Named,
    "move-anchor": Point,
    "move-hole": Point,
    **{kind: order for kind, (order, _) in EDIT_ORDERS.items()},
    "set-measures": Written,
    "set-arm": ArmOrder,
    "move-portal": PortalOrder,
    "undo": Nothing,
    "redo": Nothing,
    "archive": Nothing,
    "restore": Nothing,
}
"""What the payload of each kind of command must hold."""


def command(kind: str, payload: dict[str, Any]) -> Command | SetMeasures | Edit:
    """The command meant by ``kind`` and ``payload``; raises Refusal 422 when a field is missing, odd or unknown."""
    match kind:
        case "choose-pattern":
            return ChoosePattern(_read(Named, kind, payload).name)
        case "move-anchor":
            spot = _read(Point, kind, payload)
            return MoveAnchor(spot.name, spot.u, spot.v)
        case "move-hole":
            spot = _read(Point, kind, payload)
            return MoveHole(spot.name, spot.u, spot.v)
        case _ if kind in EDIT_ORDERS:
            order, made = EDIT_ORDERS[kind]
            return made(_read(order, kind, payload))
        case "set-measures":
            return SetMeasures(_read(Written, kind, payload).values)
        case "set-arm":
            return SetArm(_read(ArmOrder, kind, payload).pose)
        case "move-portal":
            return MovePortal(_read(PortalOrder, kind, payload).place)
    _read(Nothing, kind, payload)
    plain: dict[str, Command] = {"undo": Undo(), "redo": Redo(), "archive": PutAway(), "restore": BringBack()}
    if kind not in plain:
        raise Refusal(422, f"there is no command {kind[:40]!r}; see /api/openapi.json")
    return plain[kind]


def _read(model: type[T], kind: str, payload: dict[str, Any]) -> T:
    try:
        return model.model_validate(payload)
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        place = ".".join(str(p) for p in first["loc"])[:40] or "payload"
        raise Refusal(422, f"{kind}, {place}: {first['msg']}; correct it and send it again") from None
