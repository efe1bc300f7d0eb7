"""What only an eye, a hand or the patient can tell before a decision: how each answer is called on the page."""

import re

from cuffwright.web.measure_words import label_of
from cuffwright.web.sheet_fields import sheet_fields

PATH = re.compile(r"\b[a-z]+\.[a-z_]+\b")

EYE: dict[str, str] = {
    "judgement.retraction_stage": "Stage of retraction, read by eye: 1 near the insertion, 2 over the head, 3 glenoid",
    "judgement.infection_suspected": "Infection suspected",
    "judgement.pseudoparalysis": "Pseudoparalysis: the arm is not lifted actively",
    "judgement.stiff": "Shoulder stiff",
    "judgement.can_follow_rehabilitation": "Can follow the rehabilitation",
    "judgement.joint_arthritis": "Joint of head and glenoid worn",
    "judgement.acromion_contact": "Head touches the acromion",
    "judgement.acromion_hollowed": "Acromion hollowed by the head",
    "judgement.head_collapsed": "Head collapsed",
    "judgement.clavicle_tender": "Joint of clavicle and acromion tender",
    "judgement.clavicle_worn": "Joint of clavicle and acromion worn on images",
    "judgement.clavicle_injection_helped": "An injection into this joint helped",
    "judgement.acromioplasty_reason": "Reason for an acromioplasty, in your words",
    "judgement.clavicle_reason": "Reason for a resection of the distal clavicle, in your words",
}
"""Questions in the order in which they are asked."""

REASONS = ("judgement.acromioplasty_reason", "judgement.clavicle_reason")
"""Written reasons, asked for beside the work on bone they belong to."""


def asked(path: str) -> str:
    """How the answer at ``path`` is called, in one phrase."""
    return EYE.get(path) or label_of(path)


def short(path: str) -> str:
    """The same, cut before its explanation."""
    return asked(path).split(":")[0].split(",")[0]


def named(words: str) -> str:
    """The sentence with every path of the case in it replaced by what it is called."""
    return PATH.sub(lambda found: short(found[0]).lower() if found[0] in sheet_fields() else found[0], words)
