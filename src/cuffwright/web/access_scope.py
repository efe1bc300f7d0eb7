"""The picture as an arthroscope has it: where its tip stands, where it looks, what it sees and what stops it."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.posing import Stance
from cuffwright.access.sighting import look, tips_of
from cuffwright.anatomy.solid import Ball
from cuffwright.anatomy.turning import unit
from cuffwright.course.access import Ready
from cuffwright.web.access_orders import ScopeOrder
from cuffwright.web.access_scene import places

Floats = NDArray[np.float64]

LEVEL = 1e-6
"""Numerical choice: below this two directions count as parallel."""


def scope_view(asked: Ready, stance: Stance, order: ScopeOrder) -> dict[str, Any]:
    """One arthroscope from one portal in one compartment, on the mean shoulder."""
    scene, scope, shoulder = asked.scene, asked.scope, asked.scene.shoulder
    names = [place.name for place in scene.places]
    skin = scene.skins[names.index(order.portal)]
    targets = stance.points(scene.spots.points)[0]
    normal = unit(stance.directions(scene.spots.normals)[0].mean(axis=0))
    tips = tips_of(shoulder, scope, order.compartment, skin, targets, normal)
    tilt, middle = scope.tilts[order.tilt], targets.mean(axis=0)
    stands = [(_stops(asked, stance, skin, tip), tip) for tip in tips]
    stop, tip = min(stands, key=lambda one: (bool(one[0]), abs(_off_degrees(skin, one[1], middle) - tilt)))
    sights = look(shoulder, scene.sites, scene.spots, ((order.portal, skin),), stance, scope)
    sight = next(s for s in sights if s.compartment == order.compartment and s.scope_degrees == tilt)
    ahead = _tilted(unit(tip - skin), middle - tip, -normal, tilt)
    return {
        "portal": order.portal,
        "tilt": order.tilt,
        "tilts": list(scope.tilts),
        "compartment": order.compartment,
        "skin": places(skin, asked.side)[0],
        "tip": places(tip, asked.side)[0],
        "ahead": places(100 * ahead, asked.side)[0],
        "half_field": scope.half_field,
        "radius": scope.radius,
        "stopped": stop,
        "seen": list(sight.seen),
        "unseen": list(sight.hidden),
    }


def _stops(asked: Ready, stance: Stance, skin: Floats, tip: Floats) -> str:
    """What keeps the scope from standing there, in words; empty when nothing does."""
    shoulder, scope = asked.scene.shoulder, asked.scope
    if float(np.linalg.norm(tip - skin)) > scope.length:
        return f"the arthroscope is {scope.length:g} mm long and would need more"
    head = Ball("head of the humerus", stance.heads[0], shoulder.humerus.head_radius)
    struck = [bone.name for bone in (*shoulder.solids, head) if bool(bone.struck(skin, tip, scope.radius))]
    return f"the {struck[0]} is in the way" if struck else ""


def _off_degrees(skin: Floats, tip: Floats, middle: Floats) -> float:
    """How far off the shaft's direction the middle of the sites lies from the tip (degrees)."""
    return float(np.degrees(np.arccos(np.clip(unit(middle - tip) @ unit(tip - skin), -1, 1))))


def _tilted(shaft: Floats, towards: Floats, bone: Floats, degrees: float) -> Floats:
    """The direction of view: off the shaft by the scope's tilt, turned to face its target.

    A scope that points straight at its target is turned towards the bone.
    """
    across = towards - (towards @ shaft) * shaft
    if np.linalg.norm(across) < LEVEL * np.linalg.norm(towards):
        across = bone - (bone @ shaft) * shaft
    angle = np.radians(degrees)
    return np.asarray(np.cos(angle) * shaft + np.sin(angle) * unit(across))
