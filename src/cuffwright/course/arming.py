"""The hand on the arm and on the portals: what is asked for, and what was done, as the board keeps it."""

from dataclasses import dataclass

from cuffwright.case.reach import PortalPlace, Pose


@dataclass(frozen=True)
class SetArm:
    """Put the arm into this position."""

    pose: Pose


@dataclass(frozen=True)
class MovePortal:
    """Put a portal at this place."""

    place: PortalPlace


@dataclass(frozen=True)
class ArmSet:
    """The arm came to stand here."""

    pose: Pose


@dataclass(frozen=True)
class PortalPlaced:
    """A portal came to lie here."""

    place: PortalPlace


def with_portal(portals: tuple[PortalPlace, ...], place: PortalPlace) -> tuple[PortalPlace, ...]:
    """The portals set by the surgeon, in order of their names, with this one among them."""
    others = [one for one in portals if one.name != place.name]
    return tuple(sorted((*others, place), key=lambda one: one.name))
