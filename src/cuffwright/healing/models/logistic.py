"""The logistic model of one surgeon's single-row repairs, seen by ultrasound at six months."""

from math import exp

from cuffwright.anatomy.tear_size import cm
from cuffwright.case.fact import Citing
from cuffwright.healing.deciding import Domain, Given
from cuffwright.healing.known import Known
from cuffwright.healing.models._model import NOT_HEALED, Found, Membership, Model, first_repair

SINGLE_ROW = "single-row"


def retear_logit(
    age: float, thickness_percent: float, width_cm: float, retraction_cm: float, minutes: float, facts: Citing
) -> float:
    """The logit of a retear: age in years, torn share of the thickness in percent, sizes in cm, minutes of operation.

    Both sizes are clamped, since the negative area term makes the model fall again for the largest tears.
    """
    most = facts.number("logit.clamp")
    width, retraction = min(width_cm, most), min(retraction_cm, most)
    return (
        facts.number("logit.intercept")
        + facts.number("logit.age") * age
        + facts.number("logit.thickness") * thickness_percent
        + facts.number("logit.width") * width
        + facts.number("logit.retraction") * retraction
        + facts.number("logit.area") * width * retraction
        + facts.number("logit.minutes") * minutes
    )


def chance(logit: float) -> float:
    """The probability of a logit."""
    return 1 / (1 + exp(-logit))


def _work(given: Given, facts: Citing) -> Found:
    whole = facts.number("logit.whole")
    torn = whole
    if not given["tear.full_thickness"]:
        torn = whole * float(given["tear.partial_depth_mm"] or 0) / (float(given["tear.thickness_mm"] or 0) or 1)
    row = facts.fact("logit.time")
    sizes = cm(float(given["tear.width_mm"] or 0)), cm(float(given["tear.retraction_mm"] or 0))
    low, high = (
        chance(retear_logit(float(given["patient.age"] or 0), torn, *sizes, minutes, facts))
        for minutes in (row.low or row.value, row.high or row.value)
    )
    return Found((low, high))


NEEDS = ("patient.age", "tear.width_mm", "tear.retraction_mm")
PARTIAL_NEEDS = ("tear.partial_depth_mm", "tear.thickness_mm")


def _domain(_facts: Citing) -> Domain:
    return {path: (None,) for path in (*NEEDS, "tear.full_thickness", *PARTIAL_NEEDS)}


def _more(known: Known) -> tuple[str, ...]:
    return () if known.yes("tear.full_thickness") else PARTIAL_NEEDS


def _member(known: Known, facts: Citing) -> Membership:
    why = []
    pattern = known.values.get("plan.pattern")
    if isinstance(pattern, str) and not pattern.startswith(SINGLE_ROW):
        why.append("another repair than single row")
    most = facts.number("logit.clamp")
    if any(cm(known.number(path) or 0.0) > most for path in NEEDS[1:]):
        why.append(f"a tear above {most:g} cm, clamped to it")
    return first_repair(known, facts, tuple(why), ("plan.pattern",))


MODEL = Model(
    name="logistic-retear",
    title="Logistic retear model",
    order=(0, 1),
    outcome=NOT_HEALED,
    people="one surgeon, single-row knotless repairs, operations of 20 to 35 minutes",
    imaging="ultrasound",
    when="6 months",
    key="logit.age",
    required=NEEDS,
    domain=_domain,
    work=_work,
    member=_member,
    more=_more,
    cautions=(
        "Operative time is held at the short times of this series; a longer time is not fed in.",
        "No model of a double row; not validated elsewhere in what was read. Retraction stands for the medial size.",
    ),
)
