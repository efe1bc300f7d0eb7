"""Retear of wide against long tears of equal area."""

from cuffwright.anatomy.tear_size import cm
from cuffwright.case.fact import Citing
from cuffwright.healing.deciding import Domain, Given
from cuffwright.healing.known import Known
from cuffwright.healing.models._model import NOT_HEALED, Found, Membership, Model, lacking, primary

NEEDS = ("tear.width_mm", "tear.retraction_mm")


def _work(given: Given, facts: Citing) -> Found:
    width, length = (float(given[path] or 0) for path in NEEDS)
    ratio = facts.number("retear.dominance.ratio")
    wide, long = facts.number("retear.dominance.wide"), facts.number("retear.dominance.long")
    if width >= ratio * length:
        return Found((wide, wide))
    return Found((long, long) if length >= ratio * width else None)


def _domain(_facts: Citing) -> Domain:
    return {path: (None,) for path in NEEDS}


def _member(known: Known, facts: Citing) -> Membership:
    width, length = (known.number(path) for path in NEEDS)
    if width is None or length is None:
        return lacking(known.missing(NEEDS))
    ratio, mean = facts.number("retear.dominance.ratio"), facts.number("retear.dominance.area")
    if not (width >= ratio * length or length >= ratio * width):
        return Membership("outside", (f"neither size is {ratio:g} times the other",))
    if cm(width) * cm(length) > mean:
        return Membership("not known", (f"an area above the mean of {mean:g} cm2 that was studied",))
    return primary(known, facts)


MODEL = Model(
    name="dominance",
    title="By which size is longer",
    order=(0, 4, 1),
    outcome=NOT_HEALED,
    people="one retrospective cohort, tears of about 5 cm2",
    imaging="not said in what was read",
    when="not said in what was read",
    key="retear.dominance.wide",
    required=NEEDS,
    domain=_domain,
    work=_work,
    member=_member,
    for_patients=False,
)
