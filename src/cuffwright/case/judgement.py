"""What only an eye, a hand or the patient can tell before a decision; asked, never computed, unknown until answered."""

from dataclasses import dataclass
from typing import Literal

from cuffwright.case.measurement import Measurement


@dataclass(frozen=True)
class Judgement:
    """Answers to what the program must ask; every one unknown until given.

    ``retraction_stage`` is the stage read by eye in the frontal plane; ``glenoid_rim_mm`` the distance from the
    insertion to the glenoid rim along the retraction. ``acromion_contact`` says whether the head touches the acromion,
    ``joint_arthritis`` whether the joint of head and glenoid is worn. The ``clavicle`` fields concern the joint between
    clavicle and acromion. ``acromioplasty_reason`` and ``clavicle_reason`` are written reasons for work on bone.
    """

    retraction_stage: Literal[1, 2, 3] | None = None
    glenoid_rim_mm: Measurement | None = None
    joint_arthritis: bool | None = None
    acromion_contact: bool | None = None
    acromion_hollowed: bool | None = None
    head_collapsed: bool | None = None
    pseudoparalysis: bool | None = None
    infection_suspected: bool | None = None
    stiff: bool | None = None
    can_follow_rehabilitation: bool | None = None
    clavicle_tender: bool | None = None
    clavicle_worn: bool | None = None
    clavicle_injection_helped: bool | None = None
    acromioplasty_reason: str | None = None
    clavicle_reason: str | None = None
