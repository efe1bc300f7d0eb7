"""The portals as the page shows them: skin points, marking-pen distances, and how the hand moves them."""

from dataclasses import asdict
from typing import Any

import numpy as np

from cuffwright.access.portals import CM, STAB, confirm, default_places, marking, provenance, skin_point
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.case.identity import Side
from cuffwright.case.reach import PortalPlace
from cuffwright.course.access import Ready
from cuffwright.web.access_scene import places

NUDGE = 1.0
"""Numerical choice: each landmark distance is moved by this (mm) to see where the skin point goes."""

LEVERS = {"posterior": ("medial", "down"), "anterior": ("medial", "down"), "superomedial": ("behind", "medial")}
"""The two distances by which the portals off no edge are moved."""

MARKED = {"posterior": ("down", "medial"), "anterior": ("", "medial"), "superomedial": ("medial", "behind")}
"""Which distance of the place each line for the marking pen tells, in its order; the half-way line follows."""


def portals_view(asked: Ready) -> list[dict[str, Any]]:
    """Each portal: its place, skin point, marking-pen distances, and how the skin point follows its distances."""
    scene, side = asked.scene, asked.side
    defaults = {place.name: place for place in default_places(asked.facts)}
    shown = []
    for place, skin in zip(scene.places, scene.skins, strict=True):
        own = place != defaults[place.name]
        told = (("set by the surgeon", "measured"),) if own else provenance(asked.facts, place.name)
        ways = levers(place, scene.shoulder.acromion.edge_length)
        tried = tuple(_nudged(place, name, step) for name, _, step in ways)
        skins = np.array([skin_point(one, scene.shoulder, scene.gear.deep) for one in tried])
        shown.append(
            {
                "name": place.name,
                "place": asdict(place),
                "own": own,
                "default": asdict(defaults[place.name]),
                "skin": places(skin, side)[0],
                "marking": _marked(place, scene.shoulder),
                "confirm": confirm(place.name),
                "verified": all(word not in {"memory", "assumed"} for _, word in told),
                "levers": [
                    {"name": name, "per_mm": per_mm, "way": way}
                    for (name, per_mm, _), way in zip(ways, _ways(skins - skin, side), strict=True)
                ],
            }
        )
    return shown


def _marked(place: PortalPlace, shoulder: Shoulder) -> list[dict[str, Any]]:
    """The distances for the marking pen, each with the distance of the place it sets (none for one that follows)."""
    names = MARKED.get(place.name, ("beside" if place.name == STAB else "down", "along"))
    per_cm = {"along": CM / shoulder.acromion.edge_length}
    return [
        {
            "words": words,
            "cm": round(cm, 2),
            "sets": name,
            "per_cm": per_cm.get(name, -CM if place.name == "anterior" else CM),
        }
        for (words, cm), name in zip(marking(place, shoulder), names, strict=True)
    ]


def levers(place: PortalPlace, edge: float) -> list[tuple[str, float, float]]:
    """The distances by which a portal is moved: name, change for a mm, value nudged (towards where there is room)."""
    pair = LEVERS.get(place.name, ("along", "beside" if place.name == STAB else "down"))
    found = []
    for name in pair:
        per_mm = 1 / edge if name == "along" else 1.0
        now = getattr(place, name) or 0.0
        step = now + NUDGE * per_mm
        if name == "along" and step > 1:
            step, per_mm = now - NUDGE * per_mm, -per_mm
        found.append((name, per_mm, step))
    return found


def _nudged(place: PortalPlace, name: str, value: float) -> PortalPlace:
    return PortalPlace(**{**asdict(place), name: value})


def _ways(steps: Any, side: Side) -> list[list[float]]:
    signs = np.array([1.0, 1.0, 1.0 if side == "right" else -1.0])
    return [[round(float(x), 3) + 0.0 for x in step * signs] for step in steps]
