"""The acromion: an outline measured on an example bone, brought to a shoulder's own sizes and set over its head."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.measures import ShoulderMeasures
from cuffwright.anatomy.solid import Block, prism
from cuffwright.anatomy.turning import FORWARD, LATERAL, UP, turn_about, unit
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing

Floats = NDArray[np.float64]

CORNERS = (
    "posterolateral",
    "back",
    "lateral",
    "anterolateral",
    "tip",
    "medial_front",
    "medial_middle",
    "medial_back",
)
"""The outline from behind along the lateral edge to the tip and back along the medial edge."""

PL, BACK, FARTHEST, AL, TIP, MEDIAL_FRONT, MEDIAL_MIDDLE, MEDIAL_BACK = range(len(CORNERS))

EDGE = (AL, FARTHEST, BACK, PL)
"""The lateral edge from front to back."""

FLAT = 1e-9
"""Numerical choice: a shoulder whose acromion cannot be placed has a determinant below this."""


@dataclass(frozen=True)
class AcromionForm:
    """The example outline (8, 3) in its scapula frame (mm), with the sizes it was measured to have there."""

    outline: Floats
    length: float
    width: float
    head_radius: float
    lateral_angle_degrees: float
    tilt_degrees: float

    @classmethod
    def from_facts(cls, book: Citing) -> "AcromionForm":
        """The example outline from its rows; the tilt counts from the published mean."""
        outline = [
            [book.number(f"form.acromion.{corner}.{way}") for way in ("forward", "up", "lateral")] for corner in CORNERS
        ]
        return cls(
            outline=np.array(outline),
            length=book.number("form.acromion.length"),
            width=book.number("form.acromion.width"),
            head_radius=book.number("form.head.radius"),
            lateral_angle_degrees=book.number("form.acromion.lateral_angle"),
            tilt_degrees=book.number("acromion.tilt"),
        )

    @cached_property
    def axes(self) -> tuple[Floats, Floats, Floats]:
        """Unit vectors of the plate: along it forwards, across it outwards, and its upward normal."""
        spread = self.outline - self.outline.mean(axis=0)
        normal = np.linalg.svd(spread)[2][2]
        normal = normal * np.sign(normal[UP])
        along = self.outline[TIP] - self.outline[PL]
        along = unit(along - (along @ normal) * normal)
        return along, np.cross(normal, along), normal


@dataclass(frozen=True)
class Acromion:
    """A placed acromion: ``outline`` (8, 3) at mid thickness, plate normals behind and in front, thickness (mm)."""

    outline: Floats
    normal: Floats
    front_normal: Floats
    thickness: float

    @cached_property
    def blocks(self) -> tuple[Block, Block]:
        """The plate in two convex pieces, behind and in front of its widest place."""
        behind = self.outline[[PL, BACK, FARTHEST, MEDIAL_MIDDLE, MEDIAL_BACK]]
        front = self.outline[[FARTHEST, AL, TIP, MEDIAL_FRONT, MEDIAL_MIDDLE]]
        return (
            prism("acromion", behind, self.normal, self.thickness),
            prism("acromion", front, self.front_normal, self.thickness),
        )

    def corner(self, name: str) -> Floats:
        """A named point of the outline (3,)."""
        return np.asarray(self.outline[CORNERS.index(name)])

    @cached_property
    def reach(self) -> float:
        """How far the acromion reaches laterally of the glenoid (mm)."""
        return float(self.outline[:, LATERAL].max())

    def shoulder_angle_degrees(self, glenoid_height: float) -> float:
        """Critical shoulder angle: from the glenoid's line to the outermost edge, in a true view from the front."""
        return float(np.degrees(_angles(self.outline, glenoid_height).max()))

    def edge(self, share: float) -> Floats:
        """Point (3,) of the lateral edge: share 0 at the anterolateral corner, 1 at the posterolateral one."""
        points = self.outline[list(EDGE)]
        way = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
        return np.array([np.interp(share * way[-1], way, points[:, axis]) for axis in range(3)])

    @property
    def edge_length(self) -> float:
        """Length of the lateral edge (mm)."""
        points = self.outline[list(EDGE)]
        return float(np.sum(np.linalg.norm(np.diff(points, axis=0), axis=1)))


def place_acromion(form: AcromionForm, shoulder: ShoulderMeasures, head: Floats, bend_degrees: float) -> Acromion:
    """Set the outline over the head centre ``head`` (3,) so that critical angle and acromiohumeral distance hold.

    The plate is stretched to length and width, turned to its lateral angle and tilt, its front half bent down by
    ``bend_degrees`` (0 for a flat one), then shifted up and sideways until its underside lies the acromiohumeral
    distance from the head and its lateral point at the critical shoulder angle.

    Raises
    ------
    CaseError
        When no such place exists.
    """
    outline, normal = _stretched(form, shoulder)
    drop = form.lateral_angle_degrees - shoulder.lateral_angle_degrees
    lean = shoulder.acromion_tilt_degrees - form.tilt_degrees
    swing = turn_about(FORWARD, drop) @ turn_about(LATERAL, lean)
    pivot = outline[FARTHEST]
    outline = pivot + (outline - pivot) @ swing.T
    normal = swing @ normal
    outline, front = _bent(outline, normal, bend_degrees)
    return Acromion(outline + _shift(outline, normal, shoulder, head), normal, front, shoulder.acromion_thickness)


def _angles(outline: Floats, glenoid_height: float) -> Floats:
    """Angle (radians) of each corner at the bottom of the glenoid, seen from in front."""
    return np.asarray(np.arctan2(outline[:, LATERAL], outline[:, UP] + glenoid_height / 2))


def _stretched(form: AcromionForm, shoulder: ShoulderMeasures) -> tuple[Floats, Floats]:
    along, across, normal = form.axes
    pivot = form.outline[FARTHEST]
    away = form.outline - pivot
    long = shoulder.acromion_length / form.length
    wide = shoulder.acromion_width / form.width
    reach = away @ along * long
    breadth = away @ across * wide
    outline = np.outer(reach, along) + np.outer(breadth, across) + np.outer(away @ normal, normal)
    return pivot * (shoulder.head_radius / form.head_radius) + outline, normal


def _bent(outline: Floats, normal: Floats, bend_degrees: float) -> tuple[Floats, Floats]:
    """The outline with its front corners turned down about the line through its widest place."""
    hinge = unit(outline[FARTHEST] - outline[MEDIAL_MIDDLE])
    angle = np.radians(bend_degrees)
    moved = outline.copy()

    def turned(vector: Floats) -> Floats:
        across = np.cross(hinge, vector)
        along = (hinge @ vector) * hinge
        return np.asarray(along + np.cos(angle) * (vector - along) + np.sin(angle) * across)

    forward = turned(outline[TIP] - outline[MEDIAL_MIDDLE]) @ normal <= (outline[TIP] - outline[MEDIAL_MIDDLE]) @ normal
    if not forward:
        angle = -angle
    for corner in (AL, TIP, MEDIAL_FRONT):
        moved[corner] = outline[MEDIAL_MIDDLE] + turned(outline[corner] - outline[MEDIAL_MIDDLE])
    return moved, turned(normal)


def _shift(outline: Floats, normal: Floats, shoulder: ShoulderMeasures, head: Floats) -> Floats:
    """The shift up and sideways; of the corners that may be the outermost, the one that turns out to be it decides."""
    slope = np.tan(np.radians(shoulder.shoulder_angle_degrees))
    low = outline[FARTHEST] - normal * shoulder.acromion_thickness / 2
    above = shoulder.head_radius + shoulder.acromion_distance - normal @ (low - head)
    system = np.array([[normal[UP], normal[LATERAL]], [-slope, 1.0]])
    if abs(np.linalg.det(system)) < FLAT:
        raise CaseError("the acromion cannot be placed over this head; check the critical shoulder angle")
    shifts = []
    for corner in (AL, FARTHEST, TIP):
        beside = slope * (outline[corner][UP] + shoulder.glenoid_height / 2) - outline[corner][LATERAL]
        up, lateral = np.linalg.solve(system, [above, beside])
        shifts.append(np.array([0.0, up, lateral]))
    return min(shifts, key=lambda shift: float(_angles(outline + shift, shoulder.glenoid_height).max()))
