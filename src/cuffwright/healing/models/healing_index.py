"""The healing index: six signs, 15 points; recalled from memory, so it never reaches a patient's sheet."""

from cuffwright.anatomy.tear_size import MM_PER_CM, cm
from cuffwright.case.fact import Citing
from cuffwright.case.odds import OddsAnswer
from cuffwright.healing.deciding import Domain, Given, about, around
from cuffwright.healing.models._model import NOT_HEALED, Found, Model, primary, spoken

STEPS = ("1", "2", "3")
WORK = ("low", "medium", "high")


def index_points(given: Given, facts: Citing) -> float:
    """The sum of points; lengths of the case in mm, the rule in cm."""

    def above(path: str, limit: str) -> bool:
        return float(given[path] or 0) > facts.number(f"index.limit.{limit}")

    retraction = cm(float(given["tear.retraction_mm"] or 0))
    steps = sum(retraction >= facts.number(f"index.limit.retraction.{step}") for step in STEPS)
    fat = float(given["muscle.infraspinatus_fat"] or 0) >= facts.number("index.limit.fat")
    bone = float(given["patient.bone_density_t_score"] or 0) <= facts.number("index.limit.bone")
    wide = cm(float(given["tear.width_mm"] or 0)) > facts.number("index.limit.width")
    return (
        facts.number("index.points.age") * above("patient.age", "age")
        + facts.number("index.points.width") * wide
        + facts.number(f"index.points.retraction.{steps}")
        + facts.number("index.points.fat") * fat
        + facts.number("index.points.bone") * bone
        + facts.number("index.points.work") * (given["patient.work"] == WORK[-1])
    )


def _work(given: Given, facts: Citing) -> Found:
    points = index_points(given, facts)
    best, worst = facts.number("index.failed.low"), facts.number("index.failed.high")
    if points <= facts.number("index.limit.low"):
        return Found((best, best), points)
    if points >= facts.number("index.limit.high"):
        return Found((worst, worst), points)
    return Found((best, worst), points)


def _domain(facts: Citing) -> Domain:
    steps = [facts.number(f"index.limit.retraction.{step}") * MM_PER_CM for step in STEPS]
    return {
        "patient.age": around(facts.number("index.limit.age")),
        "tear.width_mm": around(facts.number("index.limit.width") * MM_PER_CM),
        "tear.retraction_mm": around(*steps),
        "muscle.infraspinatus_fat": (0, 1, 2, 3, 4),
        "patient.bone_density_t_score": about(facts.number("index.limit.bone")),
        "patient.work": WORK,
    }


def _say(answer: OddsAnswer, facts: Citing) -> str:
    if answer.points is None:
        return spoken(answer)
    low, high = answer.points
    points = f"{low:g} points" if low == high else f"{low:g} to {high:g} points"
    known = facts.number("index.limit.low") < low < facts.number("index.limit.high")
    bands = facts.number("index.bands")
    more = "; single rates not verified" if known or low != high else ""
    return f"{points}: {spoken(answer)}{more}; scores at two years did not differ between its {bands:g} bands"


MODEL = Model(
    name="healing-index",
    title="Healing index",
    order=(0, 0),
    outcome=NOT_HEALED,
    people="one centre, first repairs",
    imaging="MR or ultrasound, as recalled",
    when="at follow-up",
    key="index.points.age",
    required=(),
    domain=_domain,
    work=_work,
    member=primary,
    say=_say,
    cautions=(
        "Points and rates are from memory: check them against the original before any clinical use.",
        "Nothing is interpolated between the bands.",
    ),
    for_patients=False,
)
