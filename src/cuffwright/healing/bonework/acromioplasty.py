"""Shaving the acromion: off by default; a written reason is asked for."""

from cuffwright.case.fact import Citing
from cuffwright.healing.bonework._work import Sign, Work
from cuffwright.healing.known import Known

ANGLE = "acromion.critical_shoulder_angle_degrees"


def _high(known: Known, facts: Citing) -> bool:
    return (known.number(ANGLE) or 0.0) >= facts.number("class.angle.35")


def _evidence(facts: Citing) -> tuple[str, ...]:
    later, gain = facts.fact("bonework.acromion.later"), facts.number("bonework.acromion.ases")
    return (
        f"Six trials: {gain:g} of 100 points more with it, below a meaningful change; no difference in pain or retear.",
        f"One database, not randomised: odds of later surgery without it {later.value:g}"
        f" ({later.low:g} to {later.high:g}).",
        "Type of the acromion by eye is no reason by itself: readers disagree.",
    )


WORK = Work(
    "acromioplasty",
    "Acromioplasty",
    (Sign("high critical shoulder angle (lateral overhang)", ANGLE, _high),),
    "judgement.acromioplasty_reason",
    _evidence,
)
