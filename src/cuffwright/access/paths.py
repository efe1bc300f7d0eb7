"""Straight paths from portals to sites over many arm positions at once: angle, length, bone in the way, bed."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.beds import room_behind
from cuffwright.access.posing import Stance
from cuffwright.access.sites import Site, Spots, Tools
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.anatomy.solid import Ball

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Codes = NDArray[np.int_]

STANDOFF = 3.0
"""Numerical choice: radii of the tool in front of a site within which it may touch the head it lies on."""

STOPS = ("free", "away", "long", "flat", "joint", "cortex", "bite", "jaw")
"""What can stop a path, bones left out."""

FREE, AWAY, LONG, FLAT, JOINT, CORTEX, BITE, JAW = range(len(STOPS))
"""The codes of :class:`Paths`."""

FIRST_BONE = len(STOPS)
"""Bones are counted from here."""


@dataclass(frozen=True, eq=False)
class Paths:
    """Paths of every pose, portal and site, arrays (p, k, t).

    ``angle`` degrees above the surface, ``length`` mm, ``room`` mm behind the anchor's tip (nan for holes), ``stop``
    what stops it (FREE when nothing does), ``curved`` whether a hole needs the penetrating passer, ``towards`` the
    unit directions from site to portal in the humerus frame (p, k, t, 3); ``bones`` the names behind bone codes.
    """

    angle: Floats
    length: Floats
    room: Floats
    stop: Codes
    curved: Bools
    towards: Floats
    bones: tuple[str, ...]

    @property
    def free(self) -> Bools:
        """Where nothing stops the path."""
        return np.asarray(self.stop == FREE)


def find_paths(
    shoulder: Shoulder, sites: tuple[Site, ...], spots: Spots, skins: Floats, stance: Stance, tools: Tools
) -> Paths:
    """Judge the straight path from each skin point (k, 3) to each site in each pose."""
    points, normals = stance.points(spots.points), stance.directions(spots.normals)
    run = skins[None, :, None] - points[:, None]
    length = np.linalg.norm(run, axis=-1)
    towards = run / length[..., None]
    sine = np.einsum("pkti,pti->pkt", towards, normals)
    angle = np.degrees(np.arcsin(np.clip(sine, -1, 1)))
    inside = np.einsum("pkti,pij->pktj", towards, stance.turns)
    room, joint = room_behind(shoulder.humerus, spots.points, inside, np.array([site.bed for site in sites]))
    stop = np.full(angle.shape, FREE)
    curved = np.zeros(angle.shape, dtype=bool)
    holes = np.array([site.kind == "hole" for site in sites])
    _stop_holes(stop, curved, (angle, inside, spots, sites, tools), holes)
    anchors = ~holes
    short = anchors & (room < tools.joint)
    stop = np.where(short, np.where(joint, JOINT, CORTEX), stop)
    stop = np.where(anchors & (angle < tools.angle_least_degrees), FLAT, stop)
    stop = np.where(length > tools.working_length, LONG, stop)
    radius = np.array([site.diameter for site in sites]) / 2
    stop, bones = _stop_bones(stop, shoulder, stance, (points, towards, skins), radius)
    least = np.where(holes, -tools.under_degrees, 0.0)
    stop = np.where(angle <= least, AWAY, stop)
    room = np.where(holes, np.nan, room)
    return Paths(angle, length, room, stop, curved, inside, bones)


def _stop_bones(
    stop: Codes, shoulder: Shoulder, stance: Stance, lines: tuple[Floats, Floats, Floats], radius: Floats
) -> tuple[Codes, tuple[str, ...]]:
    points, towards, skins = lines
    start, end = points[:, None], skins[None, :, None]
    head = Ball("head of the humerus", stance.heads[:, None, None], shoulder.humerus.head_radius)
    lifted = start + STANDOFF * radius[:, None] * towards
    names: list[str] = []
    for bone in (*shoulder.solids, head):
        if bone.name not in names:
            names.append(bone.name)
        struck = bone.struck(lifted if bone is head else start, end, radius)
        stop = np.where(struck, FIRST_BONE + names.index(bone.name), stop)
    return stop, tuple(names)


def _stop_holes(
    stop: Codes,
    curved: Bools,
    told: tuple[Floats, Floats, Spots, tuple[Site, ...], Tools],
    holes: Bools,
) -> None:
    """Mark holes no jaw and no curved tip can pass; of those a jaw cannot, which the curved tip can."""
    angle, inside, spots, sites, tools = told
    out = np.einsum("pkti,ti->pkt", inside, spots.outwards)
    back = np.einsum("pkti,ti->pkt", inside, spots.backwards)
    swing = np.degrees(np.arctan2(np.abs(back), out))
    deep = np.array([site.bite > tools.jaw for site in sites])
    jaw = (swing <= tools.swing_degrees) & (angle <= tools.steep_degrees) & ~deep
    tip = angle + tools.curve_degrees >= tools.through_degrees
    curved |= holes & ~jaw & tip
    stop[np.broadcast_to(holes, stop.shape) & ~jaw & ~tip] = JAW
    stop[np.broadcast_to(holes & deep, stop.shape) & ~tip] = BITE


def reason_words(paths: Paths, place: tuple[int, int, int], site: Site, tools: Tools) -> str:
    """Why the path at (pose, portal, site) is stopped, as half a sentence; empty when it is free."""
    stop, angle = int(paths.stop[place]), float(paths.angle[place])
    if stop >= FIRST_BONE:
        return f"the {paths.bones[stop - FIRST_BONE]} is in the way"
    return {
        FREE: "",
        AWAY: "the site faces away from the portal",
        LONG: f"the path is {paths.length[place]:.0f} mm long and the instrument {tools.working_length:g}",
        FLAT: f"the path lies {angle:.0f} degrees to the bone, {tools.angle_least_degrees:g} needed",
        JOINT: f"a bed {site.bed:g} mm deep would come within {tools.joint:g} mm of the joint",
        CORTEX: f"a bed {site.bed:g} mm deep would come within {tools.joint:g} mm of the far cortex",
        BITE: f"the bite is {site.bite:.0f} mm from the tendon's edge and the jaw reaches {tools.jaw:g}",
        JAW: "no jaw comes in line with the tendon and the path is too flat for a curved tip",
    }[stop]
