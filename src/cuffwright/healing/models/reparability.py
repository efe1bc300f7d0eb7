"""The reparability score: is a complete repair to be expected? Three points from age, interval and width."""

from cuffwright.anatomy.tear_size import cm
from cuffwright.case.fact import Citing
from cuffwright.case.odds import OddsAnswer
from cuffwright.healing.classes.size_by_width import full
from cuffwright.healing.deciding import Domain, Given, around
from cuffwright.healing.known import Known
from cuffwright.healing.models._model import PARTIAL, Found, Membership, Model, spoken

AGE, INTERVAL, WIDTH = "patient.age", "acromion.acromiohumeral_interval_mm", "tear.width_mm"


def reparability_points(age: float, interval_mm: float, width_mm: float, facts: Citing) -> int:
    """The points, 0 to 3."""
    return (
        (age >= facts.number("reparable.limit.age"))
        + (interval_mm <= facts.number("reparable.limit.interval"))
        + (width_mm >= facts.number("reparable.limit.width"))
    )


def _work(given: Given, facts: Citing) -> Found:
    age, interval, width = (float(given[path] or 0) for path in (AGE, INTERVAL, WIDTH))
    points = reparability_points(age, interval, width, facts)
    rate = facts.number(f"reparable.partial.{points}")
    return Found((rate, rate), points)


def _domain(facts: Citing) -> Domain:
    return {
        AGE: around(facts.number("reparable.limit.age")),
        INTERVAL: around(facts.number("reparable.limit.interval")),
        WIDTH: around(facts.number("reparable.limit.width")),
    }


def _member(known: Known, facts: Citing) -> Membership:
    width = known.number(WIDTH) or 0.0
    if cm(width) >= facts.number("class.size.large"):
        return Membership("inside")
    return Membership("outside", ("a tear below large; the series is of large to massive tears",))


def _say(answer: OddsAnswer, facts: Citing) -> str:
    if answer.points is None:
        return spoken(answer)
    low, high = answer.points
    points = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    cut = facts.number("reparable.cut")
    expect = "expect a partial repair" if low >= cut else "a complete repair was usual" if high < cut else "open"
    counts = dict.fromkeys(facts.fact(f"reparable.partial.{end:g}").note.split(";")[0] for end in (low, high))
    return f"{points} of 3 points, {expect}: {spoken(answer)}, counted in {' to '.join(counts)}"


MODEL = Model(
    name="reparability",
    title="Reparability score",
    order=(1,),
    outcome=PARTIAL,
    people="80 large to massive tears",
    imaging="MR and radiograph before surgery",
    when="at surgery",
    key="reparable.cut",
    required=(),
    domain=_domain,
    work=_work,
    member=_member,
    say=_say,
    cautions=("Derived and tested in the same group; one abstract prints the interval with the opposite sign.",),
    only_if=full,
)
