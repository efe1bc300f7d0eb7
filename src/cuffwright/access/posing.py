"""How the arm stands in the scapula: abduction, flexion, rotation, traction."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.anatomy.turning import FORWARD, LATERAL, UP, carried, turn_about
from cuffwright.case.fact import Citing
from cuffwright.case.reach import Pose

Floats = NDArray[np.float64]

TRIED = 13
"""Numerical choice: abductions, and rotations, in the table of arm positions."""


@dataclass(frozen=True)
class PoseFacts:
    """Usual positions by how the patient lies, the give of traction (mm/kg), and the range of positions tried."""

    usual: dict[str, Pose]
    give: float
    error_degrees: float
    rhythm: float
    abduction_most: float
    rotation_most: float

    @classmethod
    def from_facts(cls, book: Citing) -> "PoseFacts":
        """The positions from their rows."""
        beach = Pose(book.number("pose.beach-chair.abduction"), book.number("pose.beach-chair.flexion"))
        side = Pose(
            book.number("pose.lateral-decubitus.abduction"),
            book.number("pose.lateral-decubitus.flexion"),
            traction_kg=book.number("pose.lateral-decubitus.traction"),
            place="lateral decubitus",
        )
        return cls(
            usual={"beach chair": beach, "lateral decubitus": side},
            give=book.number("pose.traction.give"),
            error_degrees=book.number("pose.error"),
            rhythm=book.number("pose.rhythm"),
            abduction_most=book.number("pose.abduction.most"),
            rotation_most=book.number("pose.rotation.most"),
        )

    def tried(self, pose: Pose) -> tuple[Pose, ...]:
        """The arm positions looked through: ``pose`` first, then a grid of abduction and rotation beside it."""
        grid = [
            replace(pose, abduction_degrees=float(up), rotation_degrees=float(turn))
            for up in np.linspace(0, self.abduction_most, TRIED)
            for turn in np.linspace(-self.rotation_most, self.rotation_most, TRIED)
        ]
        return (pose, *(other for other in grid if other != pose))


@dataclass(frozen=True)
class Stance:
    """Many arm positions at once: turns (p, 3, 3) from humerus to scapula frame and head centres (p, 3)."""

    turns: Floats
    heads: Floats

    def points(self, humerus: Floats) -> Floats:
        """Humerus points (n, 3) in the scapula frame, (p, n, 3)."""
        return np.asarray(self.heads[:, None] + carried(self.turns[:, None], humerus[None]))

    def directions(self, humerus: Floats) -> Floats:
        """Humerus directions (n, 3) in the scapula frame, (p, n, 3)."""
        return carried(self.turns[:, None], humerus[None])


def stand(shoulder: Shoulder, poses: tuple[Pose, ...], give: float) -> Stance:
    """Place the humerus of ``shoulder`` for each pose; traction draws it ``give`` mm/kg along the arm.

    Abduction turns about the glenoid's front-to-back line through the head centre, flexion about the glenoid's
    normal, rotation about the shaft; with all at 0 the arm hangs, the forearm pointing forwards.
    """
    up = turn_about(FORWARD, [-pose.abduction_degrees for pose in poses])
    forward = turn_about(LATERAL, [pose.flexion_degrees for pose in poses])
    outwards = turn_about(UP, [-pose.rotation_degrees for pose in poses])
    turns = up @ forward @ shoulder.body @ outwards
    drawn = np.array([pose.traction_kg * give for pose in poses])
    return Stance(turns, shoulder.head - drawn[:, None] * turns[:, :, 1])


def distance_degrees(one: Pose, other: Pose) -> float:
    """How far the arm is moved between two positions (degrees)."""
    return float(
        np.hypot(
            np.hypot(one.abduction_degrees - other.abduction_degrees, one.rotation_degrees - other.rotation_degrees),
            one.flexion_degrees - other.flexion_degrees,
        )
    )


def distances_degrees(poses: Sequence[Pose]) -> Floats:
    """How far the arm is moved between every two of many positions (degrees), (p, p): all at once."""
    turned = np.array([[pose.abduction_degrees, pose.rotation_degrees, pose.flexion_degrees] for pose in poses])
    return np.asarray(np.linalg.norm(turned[:, None] - turned[None], axis=-1))
