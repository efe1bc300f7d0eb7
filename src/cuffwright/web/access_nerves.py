"""The nerves as the page draws them: population estimates with the spread of nine people in ten, never one line."""

from typing import Any

import numpy as np

from cuffwright.access.margins import Asked, behind_rim
from cuffwright.anatomy.scapula import rim_point
from cuffwright.case.reach import Pose
from cuffwright.course.access import Ready
from cuffwright.web.access_mesh import below, ways
from cuffwright.web.access_scene import places

WIDE = 1.645
"""Numerical choice: SD to either side that hold nine in ten of a normal spread."""


def nerves_view(asked: Ready, pose: Pose) -> dict[str, Any]:
    """Axillary nerve as a curve with a tube and its floor; the others as balls."""
    shoulder, side = asked.scene.shoulder, asked.side
    facts, m = shoulder.forms.nerves, shoulder.measures
    told = Asked(pose, asked.gear.posing.rhythm)
    spreads = asked.draw.population.spreads()
    lost = max(0.0, 1 - facts.loss * told.lifted_degrees)
    curve, least = [], []
    for share, outward in ways()[::2]:
        drop = facts.axillary(m.arm_length, m.nerve_shift, share, told.lifted_degrees, most=False)
        curve.append(below(shoulder, share, outward, drop))
        low = facts.axillary_floor * max(0.0, 1 - facts.loss_most * told.lifted_degrees)
        least.append(below(shoulder, share, outward, low))
    index = (facts.front_index + facts.back_index) / 2
    off = WIDE * lost * float(np.hypot(spreads["nerve_shift"], index * spreads["arm_length"]))
    medial = np.array([0.0, 0.0, -1.0])
    down = -shoulder.body[:, 1]
    spots = (
        ("suprascapular", "at the notch", rim_point(m, "top") + facts.notch * medial, facts.notch_sd),
        (
            "suprascapular",
            "behind the rim",
            behind_rim(shoulder, facts.spinoglenoid(pose.rotation_degrees)),
            facts.spine_notch_sd,
        ),
        (
            "musculocutaneous",
            "first branch",
            shoulder.coracoid + facts.musculocutaneous * down,
            facts.musculocutaneous_sd,
        ),
    )
    return {
        "axillary": {"curve": places(curve, side), "floor": places(least, side), "radius": round(off, 1)},
        "spots": [
            {"nerve": nerve, "where": where, "at": places(at, side)[0], "radius": round(WIDE * sd, 1)}
            for nerve, where, at, sd in spots
        ],
    }
