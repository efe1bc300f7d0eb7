"""Distances of portals from nerves: population estimates, the lower of disagreeing series, with the arm's position.

A margin says how far a nerve lies from a portal in people like this one. It never says that a portal is harmless.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.portals import EDGE
from cuffwright.anatomy.scapula import rim_point
from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.anatomy.solid import segment_distance
from cuffwright.anatomy.turning import FORWARD, LATERAL, UP
from cuffwright.case.quantity import Interval
from cuffwright.case.reach import NerveMargin, PortalPlace, Pose

Floats = NDArray[np.float64]

SENTENCE = (
    "Nerve distances are population estimates for this arm position, the lower where series disagree; this patient's"
    " nerve has not been seen and may lie closer than the shortest distance given."
)

PERCENTILES = (5, 50, 95)
"""Numerical choice: percentiles of the drawn shoulders that are reported."""

SHARE = 0.9
"""Numerical choice: share of the drawn shoulders between the percentiles reported."""

AXILLARY, SUPRASCAPULAR, MUSCULOCUTANEOUS = "axillary", "suprascapular", "musculocutaneous"

OTHERS: dict[str, str] = {
    "posterior": SUPRASCAPULAR,
    "superomedial": SUPRASCAPULAR,
    "anterior": MUSCULOCUTANEOUS,
}
"""The nerve nearest to each portal that is not measured off the acromion's edge."""


def nerve_of(portal: str) -> str:
    """The nerve a portal must keep away from."""
    return AXILLARY if portal in EDGE else OTHERS[portal]


@dataclass(frozen=True)
class Asked:
    """How a margin is asked: arm position, arm-to-trunk over arm-to-scapula, and by how many SD this nerve differs.

    ``most`` takes the largest published loss with abduction instead of the best estimate.
    """

    pose: Pose
    rhythm: float
    off: float = 0.0
    most: bool = False

    @property
    def lifted_degrees(self) -> float:
        """Abduction of the arm to the trunk, at most; never below 0."""
        return max(0.0, self.pose.abduction_degrees) * self.rhythm


def margin(shoulder: Shoulder, place: PortalPlace, skin: Floats, asked: Asked) -> float:
    """Distance (mm) of a portal from its nerve on one shoulder; below 0 when the stab lies beyond the nerve.

    Off the edge the stab's own distance below the edge is compared with the nerve's, as in the trade.
    """
    facts, m = shoulder.forms.nerves, shoulder.measures
    if place.name in EDGE:
        share = place.along or 0.0
        nerve = facts.axillary(m.arm_length, m.nerve_shift, share, asked.lifted_degrees, most=asked.most)
        return nerve - place.down
    behind = facts.spinoglenoid(asked.pose.rotation_degrees) + asked.off * facts.spine_notch_sd
    notch = facts.notch + asked.off * facts.notch_sd
    twig = facts.musculocutaneous + asked.off * facts.musculocutaneous_sd
    return _from_path(shoulder, place, skin, {"posterior": behind, "superomedial": notch, "anterior": twig}[place.name])


def floor(shoulder: Shoulder, place: PortalPlace, skin: Floats, asked: Asked) -> float:
    """The same distance (mm) with the shortest nerve distance ever published."""
    facts = shoulder.forms.nerves
    if place.name in EDGE:
        return facts.axillary_floor * max(0.0, 1 - facts.loss_most * asked.lifted_degrees) - place.down
    shortest = {
        "posterior": facts.spine_notch_floor,
        "superomedial": facts.notch_floor,
        "anterior": facts.musculocutaneous_floor,
    }
    return _from_path(shoulder, place, skin, shortest[place.name])


def behind_rim(shoulder: Shoulder, away: float) -> Floats:
    """The suprascapular nerve (3,) ``away`` mm medial of the rim's back: it rounds the base of the spine, under it."""
    back = rim_point(shoulder.measures, "back")
    return np.array([back[FORWARD], shoulder.under_spine(float(back[LATERAL]) - away), back[LATERAL] - away])


def _from_path(shoulder: Shoulder, place: PortalPlace, skin: Floats, away: float) -> float:
    """Distance (mm) of a portal's usual path from a nerve that lies ``away`` mm from its own landmark."""
    m, lateral = shoulder.measures, np.array([0.0, 0.0, 1.0])
    if place.name == "anterior":
        nerve, aim = shoulder.coracoid - away * shoulder.body[:, 1], shoulder.head
    elif place.name == "posterior":
        nerve, aim = behind_rim(shoulder, away), _into_joint(shoulder, skin)
    else:
        nerve, aim = rim_point(m, "top") - away * lateral, rim_point(m, "top")
    return float(segment_distance(skin, aim, nerve, nerve))


def _into_joint(shoulder: Shoulder, skin: Floats) -> Floats:
    """Where a posterior path towards the coracoid enters the joint: at the back rim, between head and glenoid."""
    m = shoulder.measures
    run = shoulder.coracoid - skin
    share = (rim_point(m, "back")[FORWARD] - skin[FORWARD]) / run[FORWARD]
    entry = skin + share * run
    return np.array([entry[FORWARD], entry[UP], max(float(entry[LATERAL]), m.joint_gap / 2)])


def summed(place: PortalPlace, drawn: Floats, worst: Floats, lowest: float) -> NerveMargin:
    """The margin over drawn shoulders: best estimate with spread, 5th percentile at the largest loss, floor."""
    low, middle, high = np.percentile(drawn, PERCENTILES)
    interval = Interval(float(middle), float(low), float(high), "mm", SHARE)
    return NerveMargin(place.name, nerve_of(place.name), interval, float(np.percentile(worst, PERCENTILES[0])), lowest)
