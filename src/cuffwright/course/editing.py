"""The hand on the repair itself: what is asked for, and the layout it gives on this shoulder."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import TUNNEL, Anchor, Layout, Row
from cuffwright.course.prepared import Prepared, seat
from cuffwright.course.shelf import EditLayout
from cuffwright.mechanics.parameters import IMPLANTS
from cuffwright.repair.editing import (
    new_anchor_name,
    restitched,
    routed,
    with_anchor,
    with_implant,
    with_stitch,
    without_anchor,
    without_limb,
)


@dataclass(frozen=True)
class AddAnchor:
    """Seat another anchor of ``row`` at chart ``u``, ``v`` (mm); beside the joint with a mattress stitch."""

    row: Row
    u: float
    v: float


@dataclass(frozen=True)
class RemoveAnchor:
    """Take an anchor out, and all that runs to it alone."""

    name: str


@dataclass(frozen=True)
class AddSuture:
    """Pass another suture from an anchor."""

    anchor: str
    kind: Literal["simple", "mattress"]


@dataclass(frozen=True)
class RemoveLimb:
    """Take the suture out that passes this hole."""

    name: str


@dataclass(frozen=True)
class RouteLimb:
    """Run a limb on to the lateral anchor ``to``; None ends it at its knot."""

    name: str
    to: str | None


@dataclass(frozen=True)
class ChangeKind:
    """Tie all sutures of an anchor in another way."""

    anchor: str
    kind: Literal["mattress", "simple", "knotless"]


@dataclass(frozen=True)
class ChangeImplant:
    """Put another implant in an anchor's place."""

    anchor: str
    implant: str


Edit = AddAnchor | RemoveAnchor | AddSuture | RemoveLimb | RouteLimb | ChangeKind | ChangeImplant
"""What a hand asks of a repair beyond moving it."""


def implants() -> tuple[str, ...]:
    """The generic implants of which a strength is on record."""
    return tuple(name for name in IMPLANTS if name != TUNNEL)


def edited(prepared: Prepared, layout: Layout, edit: Edit) -> EditLayout:
    """The layout that ``edit`` makes of ``layout``, in words too.

    Raises
    ------
    CaseError
        When the edit names what is not there, or leaves nothing that holds.
    """
    facts = Citing(prepared.book)
    match edit:
        case AddAnchor(row, u, v):
            name = new_anchor_name(layout, row)
            anchor = seat(prepared, Anchor(name, row, u, v, 0.0, _implant(layout, row)), u, v)
            bare = with_anchor(layout, anchor)
            lone = row == "medial" or all(one.row == row for one in layout.anchors)
            made = with_stitch(bare, prepared.strip, facts, name, "mattress") if lone else bare
            return EditLayout(made, f"anchor {name} added")
        case RemoveAnchor(name):
            return EditLayout(without_anchor(layout, name), f"anchor {name} removed")
        case AddSuture(anchor_name, kind):
            made = with_stitch(layout, prepared.strip, facts, anchor_name, kind)
            return EditLayout(made, f"{kind} suture at {anchor_name} added")
        case RemoveLimb(name):
            return EditLayout(without_limb(layout, name), f"limb {name} removed")
        case RouteLimb(name, to):
            return EditLayout(routed(layout, name, to), f"limb {name} {f'to {to}' if to else 'ends at its knot'}")
        case ChangeKind(anchor_name, way):
            return EditLayout(restitched(layout, anchor_name, way), f"anchor {anchor_name} {way}")
        case ChangeImplant(anchor_name, implant):
            if implant not in implants() or layout.anchor(anchor_name).implant == TUNNEL:
                raise CaseError(f"no {implant} can sit at {anchor_name}; choose one of {', '.join(implants())}")
            return EditLayout(with_implant(layout, anchor_name, implant), f"anchor {anchor_name} {implant}")


def _implant(layout: Layout, row: Row) -> str:
    """The implant of the row's other anchors, else of any."""
    usual = [one.implant for one in layout.anchors if one.row == row] or [one.implant for one in layout.anchors]
    found = usual[0] if usual else implants()[0]
    if found == TUNNEL:
        raise CaseError("this repair runs through bone tunnels; choose a pattern with anchors to add one")
    return found
