"""Shoulders to try: by path, whole or with parts unknown."""

from random import Random

from hypothesis import strategies as st

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.healing.known import Known, Value

NUMBERS = {
    "tear.width_mm": (1, 60),
    "tear.retraction_mm": (0, 60),
    "tear.thickness_mm": (2, 8),
    "tear.partial_depth_mm": (0, 8),
    "tear.operative_tension_newtons": (0, 60),
    "acromion.acromiohumeral_interval_mm": (1, 14),
    "acromion.critical_shoulder_angle_degrees": (25, 45),
    "muscle.occupation_ratio": (0.1, 1.0),
    "footprint.ap_mm": (15, 45),
    "judgement.glenoid_rim_mm": (20, 50),
    "patient.bone_density_t_score": (-5, 3),
}
TRUTHS = (
    "judgement.joint_arthritis",
    "judgement.acromion_contact",
    "judgement.acromion_hollowed",
    "judgement.head_collapsed",
    "judgement.pseudoparalysis",
    "judgement.infection_suspected",
    "judgement.stiff",
    "judgement.can_follow_rehabilitation",
    "judgement.clavicle_tender",
    "judgement.clavicle_worn",
    "judgement.clavicle_injection_helped",
    "muscle.tangent_positive",
    "patient.earlier_repair",
)
GRADES = ("muscle.supraspinatus_fat", "muscle.infraspinatus_fat", "muscle.subscapularis_fat")
ALWAYS = ("tear.width_mm", "tear.tendons", "tear.full_thickness")


def facts() -> Citing:
    """The packaged rows."""
    return Citing(load_book())


def told(**values: Value) -> Known:
    """A full-thickness tear of one tendon with these values; ``__`` stands for the dot of a path."""
    base: dict[str, Value] = {"tear.full_thickness": True, "tear.tendons": 1.0, "tear.width_mm": 20.0}
    return Known(base | {path.replace("__", "."): value for path, value in values.items()}, {})


WORDS = {
    "tear.tendons": (1.0, 2.0, 3.0),
    "tear.shape": ("crescent", "U", "L", "reverse L", "massive contracted"),
    "judgement.retraction_stage": (1, 2, 3),
    "patient.age": range(18, 96),
    "patient.work": ("low", "medium", "high"),
    "plan.pattern": ("single-row-simple", "double-row"),
}


def drawn_shoulder(chance: Random) -> dict[str, Value]:
    """A whole shoulder drawn by ``chance``, the same on every machine."""
    found: dict[str, Value] = {path: round(chance.uniform(*ends), 1) for path, ends in NUMBERS.items()}
    found |= {path: chance.random() < 0.5 for path in (*TRUTHS, "tear.full_thickness")}
    found |= {path: chance.randrange(5) for path in GRADES}
    found |= {path: chance.choice(list(words)) for path, words in WORDS.items()}
    found["tear.partial_depth_mm"] = min(found["tear.partial_depth_mm"], found["tear.thickness_mm"])
    return found


whole_shoulders = st.fixed_dictionaries(
    {path: st.floats(*ends, allow_nan=False).map(lambda x: round(x, 1)) for path, ends in NUMBERS.items()}
    | {path: st.booleans() for path in (*TRUTHS, "tear.full_thickness")}
    | {path: st.integers(0, 4) for path in GRADES}
    | {path: st.sampled_from(list(words)) for path, words in WORDS.items()}
).filter(lambda v: v["tear.partial_depth_mm"] <= v["tear.thickness_mm"])
