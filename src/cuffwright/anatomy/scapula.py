"""Glenoid, coracoid, spine and the end of the clavicle: the bones an instrument must pass beside."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.acromion import Acromion
from cuffwright.anatomy.measures import ShoulderMeasures
from cuffwright.anatomy.solid import Block, Rod, prism
from cuffwright.case.fact import Citing

Floats = NDArray[np.float64]

RIM = 8
"""Numerical choice: corners of the outline that stands for the glenoid's rim."""


@dataclass(frozen=True)
class ScapulaForm:
    """What all shoulders share: thicknesses of coracoid, spine and clavicle, where they lead, depth of the vault."""

    coracoid_radius: float
    coracoid_base: Floats
    spine_radius: float
    spine_root: Floats
    clavicle_radius: float
    clavicle_length: float
    clavicle_forward_degrees: float
    vault_depth: float
    head_radius: float

    @classmethod
    def from_facts(cls, book: Citing) -> "ScapulaForm":
        """The shared forms from their rows."""

        def point(key: str) -> Floats:
            return np.array([book.number(f"form.{key}.{way}") for way in ("forward", "up", "lateral")])

        return cls(
            coracoid_radius=book.number("coracoid.breadth") / 2,
            coracoid_base=point("coracoid.base"),
            spine_radius=book.number("form.spine.radius"),
            spine_root=point("spine.root"),
            clavicle_radius=book.number("form.clavicle.radius"),
            clavicle_length=book.number("form.clavicle.length"),
            clavicle_forward_degrees=book.number("form.clavicle.forward_angle"),
            vault_depth=book.number("form.vault.depth"),
            head_radius=book.number("form.head.radius"),
        )


def rim_point(shoulder: ShoulderMeasures, way: str) -> Floats:
    """The rim's top, bottom, front or back (3,), scapula frame."""
    high, wide = shoulder.glenoid_height / 2, shoulder.glenoid_width / 2
    place = {"top": (0.0, high), "bottom": (0.0, -high), "front": (wide, 0.0), "back": (-wide, 0.0)}[way]
    return np.array([*place, 0.0])


def coracoid_tip(shoulder: ShoulderMeasures, form: ScapulaForm) -> Floats:
    """The coracoid's tip (3,), scapula frame; its measures are those of the example size and grow with the head."""
    size = shoulder.head_radius / form.head_radius
    return size * np.array([shoulder.coracoid_forward, shoulder.coracoid_up, shoulder.coracoid_lateral])


def glenoid(shoulder: ShoulderMeasures, form: ScapulaForm) -> Block:
    """The vault behind the rim as an eight-sided block."""
    round_about = (np.arange(RIM) + 0.5) / RIM * 2 * np.pi
    face = np.column_stack(
        [
            shoulder.glenoid_width / 2 * np.cos(round_about),
            shoulder.glenoid_height / 2 * np.sin(round_about),
            np.full(RIM, -form.vault_depth / 2),
        ]
    )
    return prism("glenoid", face, np.array([0.0, 0.0, 1.0]), form.vault_depth)


def coracoid(shoulder: ShoulderMeasures, form: ScapulaForm) -> Rod:
    """The coracoid from its base to the tip."""
    size = shoulder.head_radius / form.head_radius
    tip, base = coracoid_tip(shoulder, form), size * form.coracoid_base
    back = (base - tip) / np.linalg.norm(base - tip)
    return Rod("coracoid", tip + back * form.coracoid_radius, base, form.coracoid_radius)


def spine(acromion: Acromion, shoulder: ShoulderMeasures, form: ScapulaForm) -> Rod:
    """The spine from the acromion's medial end behind to its root."""
    size = shoulder.head_radius / form.head_radius
    start = (acromion.corner("posterolateral") + acromion.corner("medial_back")) / 2
    return Rod("spine of the scapula", start, size * form.spine_root, form.spine_radius)


def clavicle(acromion: Acromion, form: ScapulaForm, body: Floats) -> Rod:
    """The end of the clavicle, from the front of the acromion's medial edge medially and forwards in the body."""
    angle = np.radians(form.clavicle_forward_degrees)
    way = body @ np.array([np.sin(angle), 0.0, -np.cos(angle)])
    joint = acromion.corner("medial_front")
    return Rod("clavicle", joint + way * form.clavicle_radius, joint + way * form.clavicle_length, form.clavicle_radius)
