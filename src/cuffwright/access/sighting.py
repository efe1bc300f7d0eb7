"""What an arthroscope sees: the cone of a 30 or a 70 degree scope from a portal, in joint or subacromial space."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.paths import STANDOFF
from cuffwright.access.posing import Stance
from cuffwright.access.sites import Site, Spots
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.anatomy.solid import Ball
from cuffwright.anatomy.turning import unit
from cuffwright.case.fact import Citing
from cuffwright.case.reach import Compartment, HiddenFootprint, Sight

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SCOPES = ("scope.tilt.straight", "scope.tilt.steep")
"""Rows of the two usual directions of view."""

GRID = (25, 9)
"""Numerical choice: fields along and across the footprint by which the share under the acromion is summed."""

COMPARTMENTS: tuple[Compartment, ...] = ("subacromial", "joint")


@dataclass(frozen=True)
class Scope:
    """An arthroscope: tilts of view and half the field (degrees), diameter, length, standoff (mm)."""

    tilts: tuple[float, ...]
    half_field: float
    radius: float
    length: float
    standoff: float
    joint_over: float
    joint_behind: float

    @classmethod
    def from_facts(cls, book: Citing) -> "Scope":
        """The usual 4 mm arthroscope from its rows."""
        return cls(
            tilts=tuple(book.number(key) for key in SCOPES),
            half_field=book.number("scope.field"),
            radius=book.number("scope.diameter") / 2,
            length=book.number("scope.length"),
            standoff=book.number("scope.standoff"),
            joint_over=book.number("scope.joint.over"),
            joint_behind=book.number("scope.joint.behind"),
        )


SAMPLES = 24
"""Numerical choice: points along a line of sight that are held against the bone."""

RAISES = (0, 1, 2)
"""Numerical choice: how far the scope in the subacromial space is raised off the line to its portal, in turn."""


def tips_of(
    shoulder: Shoulder, scope: Scope, compartment: Compartment, skin: Floats, targets: Floats, normal: Floats
) -> list[Floats]:
    """Where the scope's tip may stand (3,): about the repair at its standoff, or in the joint behind and above."""
    if compartment == "joint":
        m = shoulder.measures
        high = m.joint_rise + m.head_radius + scope.joint_over
        return [np.array([-scope.joint_behind, high, 2 * m.joint_gap])]
    middle = targets.mean(axis=0)
    way = unit(skin - middle)
    return [middle + scope.standoff * unit(way + lift * normal) for lift in RAISES]


def look(
    shoulder: Shoulder,
    sites: tuple[Site, ...],
    spots: Spots,
    portals: tuple[tuple[str, Floats], ...],
    stance: Stance,
    scope: Scope,
) -> tuple[Sight, ...]:
    """What is seen in the first arm position of ``stance``, for each portal, tilt and compartment.

    A site is in sight when its line to the tip is free of bone, the tuberosity it lies on included, and lies within
    the field for some turn of the scope about its shaft. In the subacromial space it must also face the tip; from
    the joint the insertion is seen along the bone, over the edge of the cartilage.
    """
    targets, normals = stance.points(spots.points)[0], stance.directions(spots.normals)[0]
    head = Ball("head of the humerus", stance.heads[0], shoulder.humerus.head_radius)
    lifted = targets + STANDOFF * normals
    found: list[Sight] = []
    for name, skin in portals:
        for compartment in COMPARTMENTS:
            views = [np.zeros(len(sites), dtype=bool) for _ in scope.tilts]
            for tip in tips_of(shoulder, scope, compartment, skin, targets, unit(normals.mean(axis=0))):
                clear = _clear(shoulder, head, (skin, tip), lifted, scope)
                if compartment == "subacromial":
                    clear &= np.sum((tip - lifted) * normals, axis=-1) > 0
                if clear.any():
                    clear &= _over_bone(shoulder, stance, lifted, tip)
                away = np.degrees(np.arccos(np.clip(unit(targets - tip) @ unit(tip - skin), -1, 1)))
                for view, tilt in zip(views, scope.tilts, strict=True):
                    view |= clear & (np.abs(away - tilt) <= scope.half_field)
            found += [
                _sight(name, tilt, compartment, sites, view) for view, tilt in zip(views, scope.tilts, strict=True)
            ]
    return tuple(found)


def _clear(shoulder: Shoulder, head: Ball, shaft: tuple[Floats, Floats], lifted: Floats, scope: Scope) -> Bools:
    """Which targets have a free line to the tip; none when the scope from skin to tip cannot get there."""
    skin, tip = shaft
    bones = (*shoulder.solids, head)
    blocked = any(bool(bone.struck(skin, tip, scope.radius)) for bone in bones)
    if blocked or float(np.linalg.norm(tip - skin)) > scope.length:
        return np.zeros(len(lifted), dtype=bool)
    clear = np.ones(len(lifted), dtype=bool)
    for bone in bones:
        clear &= ~bone.struck(lifted, tip, 0.0)
    return clear


def _over_bone(shoulder: Shoulder, stance: Stance, lifted: Floats, tip: Floats) -> Bools:
    """Which lines from above the sites to the tip stay above the tuberosity and the cartilage."""
    share = np.linspace(0, 1, SAMPLES)[:, None, None]
    line = (lifted + share * (tip - lifted) - stance.heads[0]) @ stance.turns[0]
    height = shoulder.chart.to_chart(line)[..., 2]
    return np.asarray(np.all(height > 0, axis=0))


def _sight(name: str, tilt: float, compartment: Compartment, sites: tuple[Site, ...], seen: Bools) -> Sight:
    names = [site.name for site in sites]
    return Sight(
        name,
        tilt,
        compartment,
        tuple(n for n, s in zip(names, seen, strict=True) if s),
        tuple(n for n, s in zip(names, seen, strict=True) if not s),
    )


def covered(shoulder: Shoulder, points: Floats) -> Bools:
    """Which points (n, 3), scapula frame, lie under the acromion, looked at along its plate's normal."""
    far = points + 2 * shoulder.envelope.radius * shoulder.acromion.normal
    under = np.zeros(len(points), dtype=bool)
    for block in shoulder.acromion.blocks:
        under |= block.struck(points, far, 0.0)
    return under


def hidden_footprint(shoulder: Shoulder, sites: tuple[Site, ...], spots: Spots, stance: Stance) -> HiddenFootprint:
    """Share of the footprint's area, and the sites, under the acromion in the first arm position of ``stance``."""
    chart = shoulder.chart
    along, across = ((np.arange(n) + 0.5) / n for n in GRID)
    u, share = np.meshgrid(chart.length * along, across, indexing="ij")
    breadth = chart.edge(u) - chart.gap(u)
    v = chart.gap(u) + share * breadth
    weight = chart.jacobian(u, v) * breadth
    under = covered(shoulder, stance.points(chart.to_humerus(u, v).reshape(-1, 3))[0]).reshape(u.shape)
    over = covered(shoulder, stance.points(spots.points)[0])
    names = tuple(site.name for site, hidden in zip(sites, over, strict=True) if hidden)
    return HiddenFootprint(round(float((weight * under).sum() / weight.sum()), 3), names)
