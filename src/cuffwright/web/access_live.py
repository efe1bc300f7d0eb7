"""One arm position as the page draws it while a hand turns the arm: the mean shoulder only, no draws."""

from dataclasses import asdict, replace
from functools import lru_cache
from typing import Any

import numpy as np

from cuffwright.access.paths import Paths
from cuffwright.access.posing import stand
from cuffwright.access.sighting import hidden_footprint
from cuffwright.access.table import choose, reach_rows, set_scene
from cuffwright.case.reach import PortalPlace, Pose, Reach
from cuffwright.course.access import Ready, moves_of
from cuffwright.web.access_nerves import nerves_view
from cuffwright.web.access_orders import ScopeOrder
from cuffwright.web.access_portals import portals_view
from cuffwright.web.access_scene import places, turn
from cuffwright.web.access_scope import scope_view
from cuffwright.web.access_verdict import Found, verdict

KEPT = 8
"""Numerical choice: tables of all arm positions kept, one for each shoulder, flexion and traction last asked."""


def live_view(asked: Ready, pose: Pose, scope: ScopeOrder) -> dict[str, Any]:
    """Everything that changes with arm position and portals."""
    scene, side = asked.scene, asked.side
    poses, paths = _tried(asked, pose)
    chosen = choose(paths, poses)
    rows = reach_rows(scene, paths, poses, chosen, np.full(chosen.at.shape, np.nan))
    stance = stand(scene.shoulder, (pose,), scene.posing.give)
    hidden = hidden_footprint(scene.shoulder, scene.sites, scene.spots, stance)
    moves, lost = moves_of(scene, paths, poses)
    mirror = {"turn": turn(stance.turns[0], side), "head": places(stance.heads[0], side)[0]}
    points = places(stance.points(scene.spots.points)[0], side)
    return {
        "pose": asdict(pose),
        "pose_words": pose.words,
        "trunk_degrees": round(max(0.0, pose.abduction_degrees) * scene.posing.rhythm, 1),
        "arm": mirror,
        "sites": [
            {"name": site.name, "kind": site.kind, "point": point, "diameter": site.diameter}
            for site, point in zip(scene.sites, points, strict=True)
        ],
        "portals": portals_view(asked),
        "cells": [cell(row) for row in rows],
        "hidden": asdict(hidden),
        "nerves": nerves_view(asked, pose),
        "scope": scope_view(asked, stance, scope),
        "moves": [
            {"pose": asdict(m.pose), "pose_words": m.pose.words, "sites": [site for site, _ in m.steps]} for m in moves
        ],
        "unreached": list(lost),
        "verdict": verdict(Found(pose, rows, len(moves), lost, hidden.share, (), ())),
    }


@lru_cache(maxsize=KEPT)
def _elsewhere(asked: Ready, flexion: float, traction: float) -> tuple[tuple[Pose, ...], Paths]:
    """The arm positions looked through and their paths: the same while only abduction and rotation change."""
    grid = asked.gear.posing.tried(Pose(0.0, flexion, 0.0, traction))
    poses = tuple(sorted(grid, key=lambda one: (one.abduction_degrees, one.rotation_degrees)))
    return poses, asked.scene.paths(poses)


def _tried(asked: Ready, pose: Pose) -> tuple[tuple[Pose, ...], Paths]:
    """The arm position meant, then all others in the order of the course, with their paths."""
    grid, far = _elsewhere(asked, pose.flexion_degrees, pose.traction_kg)
    poses = tuple(replace(one, place=pose.place) for one in grid)
    others = [place for place, one in enumerate(poses) if one != pose]
    here = asked.scene.paths((pose,))

    def both(name: str) -> Any:
        return np.concatenate([getattr(here, name), getattr(far, name)[others]])

    joined = Paths(
        both("angle"), both("length"), both("room"), both("stop"), both("curved"), both("towards"), far.bones
    )
    return (pose, *(poses[place] for place in others)), joined


def cell(row: Reach) -> dict[str, Any]:
    """One site from one portal; a probability that is not drawn yet is None."""
    known = bool(np.isfinite(row.probability))
    return {
        "site": row.site,
        "kind": row.kind,
        "portal": row.portal,
        "answer": row.answer,
        "pose": asdict(row.pose),
        "pose_words": row.pose.words,
        "angle": round(row.angle_degrees, 1),
        "length": round(row.length, 1),
        "room": None if row.room is None else round(row.room, 1),
        "probability": round(row.probability, 3) if known else None,
        "reason": row.reason,
        "means": row.means,
    }


def moved(asked: Ready, place: PortalPlace) -> Ready:
    """The same shoulder with one portal elsewhere."""
    scene = asked.scene
    new = tuple(place if one.name == place.name else one for one in scene.places)
    return replace(asked, scene=set_scene(scene.shoulder, scene.sites, new, scene.gear))
