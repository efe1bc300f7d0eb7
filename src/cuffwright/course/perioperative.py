"""The view against pressure, with the correction for the brain beside it: no set-point, the anaesthetist decides."""

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.perioperative import Perioperative
from cuffwright.case.quantity import Interval
from cuffwright.course.general import GENERAL

DROPS = ("brain.drop.2013", "brain.drop.page")
SHARE = 1.0
DECIMALS = 1
"""Numerical choice: decimals of a pressure."""

DECIDES = "The anaesthetist decides; this is no set-point for any pressure."
POLICY = (
    "Antibiotic, dose and time: the hospital's own policy.",
    "Skin preparation: the hospital's own policy.",
    "Clots: the hospital's own policy.",
)


def perioperative(
    book: FactBook,
    *,
    systolic: float | None = None,
    mean: float | None = None,
    height_cm: float | None = None,
    ankle_cuff: bool | None = None,
) -> Perioperative:
    """Both pressures from systolic and mean pressure at the arm (mmHg) and the height of the ear above the cuff (cm).

    With a cuff at the ankle nothing is computed: what it reads is not the pressure at the arm.

    Raises
    ------
    CaseError
        When a pressure or height cannot be.
    """
    facts = Citing(book)
    for name, value in (("systolic", systolic), ("mean", mean), ("height", height_cm)):
        if value is not None and not 0 <= value < float("inf"):
            raise CaseError(f"{name} is {value:g}; give mmHg, and cm for the height")
    if systolic is not None and mean is not None and mean > systolic:
        raise CaseError(f"the mean pressure {mean:g} exceeds the systolic {systolic:g}; check both")
    at_arm = ankle_cuff is not True
    space = (
        None
        if systolic is None or not at_arm
        else max(0.0, round(systolic - facts.number("view.difference"), DECIMALS))
    )
    brain = None if mean is None or height_cm is None or not at_arm else _brain(mean, height_cm, facts)
    names = (("systolic", systolic if at_arm else None), ("mean", mean if at_arm else None), ("height", height_cm))
    at = "" if at_arm else " at the arm"
    dose = facts.number("view.epinephrine")
    return Perioperative(
        space=space,
        brain=brain,
        beside=_beside(space, brain, at, facts),
        order=(
            "close the leak and calm the flow",
            "cautery",
            f"epinephrine in the bag ({dose:g} mg/L in trials), with the anaesthetist",
            "pressure last",
        ),
        cautions=_cautions(brain, ankle_cuff, facts),
        policy=POLICY,
        missing=tuple(
            f"{name} pressure{at}" if name != "height" else "height of the ear" for name, v in names if v is None
        ),
        decides=DECIDES,
        general=GENERAL,
        facts=tuple(facts.used),
        version=__version__,
        edition=book.edition,
    )


def _brain(mean: float, height_cm: float, facts: Citing) -> Interval:
    found = sorted(round(mean - facts.number(key) * height_cm, DECIMALS) for key in DROPS)
    if found[0] < 0:
        raise CaseError(f"a height of {height_cm:g} leaves no pressure at the ear at a mean of {mean:g} mmHg; give cm")
    return Interval(round(sum(found) / len(found), DECIMALS), found[0], found[-1], "mmHg", SHARE)


def _beside(space: float | None, brain: Interval | None, at: str, facts: Citing) -> str:
    row = facts.fact("view.difference")
    view = (
        f"pressure in the space: not computed, needs the systolic pressure{at}"
        if space is None
        else f"view was good on average from {space:g} mmHg in the space (systolic minus {row.value:g}, 22 cases)"
    )
    head = (
        f"pressure at the brain: not computed, needs mean pressure{at} and height"
        if brain is None
        else f"mean pressure at the brain {brain.low:g} to {brain.high:g} mmHg by two corrections"
    )
    return f"{view} | {head}. Lowering blood pressure for the view lowers it at the brain."


def _cautions(brain: Interval | None, ankle_cuff: bool | None, facts: Citing) -> tuple[str, ...]:
    concern, fluid = facts.fact("brain.concern"), facts.number("view.fluid")
    fall = facts.number("brain.fall")
    found = [
        "The pump's display is not the pressure in the space.",
        f"More pressure and time, more swelling: {fluid:g} reported cases of fluid spread, 16 intubated, one death.",
        f"Oximetry of the brain: a fall of {fall:.0%} from its baseline is usually called an event.",
    ]
    if brain is not None and brain.low < concern.value:
        found.insert(
            0,
            f"Mean pressure at the brain in or below the region of concern, {concern.low:g} to {concern.high:g} mmHg.",
        )
    if brain is not None:
        above = facts.fact("brain.ear")
        found.append(
            f"The height is taken to the ear: {above.low:g} to {above.high:g} cm more to the base of the brain, where"
            " the pressure is lower still."
        )
    if ankle_cuff:
        found.insert(0, "A cuff at the ankle reads higher than the arm, more so when sitting: do not use it.")
    if ankle_cuff is None:
        found.append("Where the cuff sits is not known; a cuff at the ankle must not be used.")
    return tuple(found)
