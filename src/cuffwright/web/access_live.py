"""One arm position as the page draws it while a hand turns the arm: the mean shoulder only, no draws."""

from dataclasses import asdict, replace
from functools import lru_cache
from typing import Any

import numpy as np

from cuffwright.access.moves import fewest_moves
from cuffwright.access.paths import Paths
from cuffwright.access.posing import Stance, stand
from cuffwright.access.sighting import covered
from cuffwright.access.table import choose, reach_rows, set_scene
from cuffwright.case.reach import PortalPlace, Pose, Reach
from cuffwright.course.access import Ready
from cuffwright.web.access_nerves import nerves_view
from cuffwright.web.access_orders import ScopeOrder
from cuffwright.web.access_portals import portals_view
from cuffwright.web.access_scene import places, turn
from cuffwright.web.access_scope import scope_view
from cuffwright.web.access_verdict import Found, verdict

GRID = (25, 9)
"""Numerical choice: points along and across the footprint by which the share under the acromion is summed."""

KEPT = 8
"""Numerical choice: tables of all arm positions kept, one for each shoulder, flexion and traction last asked."""

KINDS = ("medial anchor", "hole", "lateral anchor")
"""Sites in working order."""


def live_view(asked: Ready, pose: Pose, scope: ScopeOrder) -> dict[str, Any]:
    """Everything that changes with arm position and portals."""
    scene, side = asked.scene, asked.side
    poses, paths = _tried(asked, pose)
    chosen = choose(paths, poses)
    rows = reach_rows(scene, paths, poses, chosen, np.full(chosen.at.shape, np.nan))
    stance = stand(scene.shoulder, (pose,), scene.posing.give)
    hidden = hidden_share(asked, stance)
    moves, lost = arm_moves(asked, paths.free.any(axis=1), poses)
    under = covered(scene.shoulder, stance.points(scene.spots.points)[0])
    mirror = {"turn": turn(stance.turns[0], side), "head": places(stance.heads[0], side)[0]}
    points = places(stance.points(scene.spots.points)[0], side)
    return {
        "pose": asdict(pose),
        "pose_words": pose.words,
        "trunk_degrees": round(max(0.0, pose.abduction_degrees) * scene.posing.rhythm, 1),
        "arm": mirror,
        "sites": [
            {
                "name": site.name,
                "kind": site.kind,
                "point": point,
                "bed": site.bed,
                "diameter": site.diameter,
                "hidden": bool(h),
            }
            for site, point, h in zip(scene.sites, points, under, strict=True)
        ],
        "portals": portals_view(asked),
        "cells": [cell(row) for row in rows],
        "hidden": {"share": hidden, "sites": [s.name for s, h in zip(scene.sites, under, strict=True) if h]},
        "nerves": nerves_view(asked, pose),
        "scope": scope_view(asked, stance, scope),
        "moves": moves,
        "unreached": lost,
        "verdict": verdict(Found(rows, len(moves), tuple(lost), hidden, (), ())),
    }


@lru_cache(maxsize=KEPT)
def _elsewhere(asked: Ready, flexion: float, traction: float) -> tuple[tuple[Pose, ...], Paths]:
    """The arm positions looked through and their paths: the same while only abduction and rotation change."""
    poses = asked.gear.posing.tried(Pose(0.0, flexion, 0.0, traction))
    return poses, asked.scene.paths(poses)


def _tried(asked: Ready, pose: Pose) -> tuple[tuple[Pose, ...], Paths]:
    """The arm position meant, then all others, with their paths."""
    poses, far = _elsewhere(asked, pose.flexion_degrees, pose.traction_kg)
    here = asked.scene.paths((pose,))

    def both(name: str) -> Any:
        return np.concatenate([getattr(here, name), getattr(far, name)])

    joined = Paths(
        both("angle"), both("length"), both("room"), both("stop"), both("curved"), both("towards"), far.bones
    )
    return (pose, *(replace(one, place=pose.place) for one in poses)), joined


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


def hidden_share(asked: Ready, stance: Stance) -> float:
    """Share of the footprint's area under the acromion."""
    chart = asked.scene.shoulder.chart
    u, share = np.meshgrid(np.linspace(0, chart.length, GRID[0]), np.linspace(0, 1, GRID[1]), indexing="ij")
    breadth = chart.edge(u) - chart.gap(u)
    v = chart.gap(u) + share * breadth
    weight = chart.jacobian(u, v) * breadth
    under = covered(asked.scene.shoulder, stance.points(chart.to_humerus(u, v).reshape(-1, 3))[0]).reshape(u.shape)
    return round(float((weight * under).sum() / weight.sum()), 3)


def arm_moves(asked: Ready, reach: Any, poses: tuple[Pose, ...]) -> tuple[list[dict[str, Any]], list[str]]:
    """The fewest arm positions in working order, and the sites none of them reaches."""
    sites = asked.scene.sites
    groups = [[t for t, site in enumerate(sites) if site.kind == kind] for kind in KINDS]
    plan, lost = fewest_moves(poses, reach, groups)
    told = [
        {"pose": asdict(poses[at]), "pose_words": poses[at].words, "sites": [sites[t].name for t in order]}
        for at, order in plan
    ]
    return told, [sites[t].name for t in lost]


def moved(asked: Ready, place: PortalPlace) -> Ready:
    """The same shoulder with one portal elsewhere."""
    scene = asked.scene
    new = tuple(place if one.name == place.name else one for one in scene.places)
    return replace(asked, scene=set_scene(scene.shoulder, scene.sites, new, scene.gear))
