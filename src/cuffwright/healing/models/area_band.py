"""Retear by area, width times retraction: one surgeon."""

from cuffwright.anatomy.tear_size import cm
from cuffwright.case.fact import Citing
from cuffwright.healing.deciding import Domain, Given
from cuffwright.healing.models._model import NOT_HEALED, Found, Model, primary

NEEDS = ("tear.width_mm", "tear.retraction_mm")


def area_rate(area_cm2: float, facts: Citing) -> float | None:
    """The rate of an area; None in the band that the source leaves out."""
    first, second, third, fourth = (facts.number(f"retear.area.edge.{band}") for band in range(4))
    if area_cm2 > fourth:
        return facts.number("retear.area.rate.3")
    if area_cm2 > third:
        return None
    band = sum(area_cm2 > edge for edge in (first, second))
    return facts.number(f"retear.area.rate.{band}")


def _work(given: Given, facts: Citing) -> Found:
    width, retraction = (cm(float(given[path] or 0)) for path in NEEDS)
    rate = area_rate(width * retraction, facts)
    return Found(None if rate is None else (rate, rate))


def _domain(_facts: Citing) -> Domain:
    return {path: (None,) for path in NEEDS}


MODEL = Model(
    name="area-band",
    title="By area",
    order=(0, 4),
    outcome=NOT_HEALED,
    people="repairs of one surgeon",
    imaging="ultrasound",
    when="6 months",
    key="retear.area.rate.0",
    required=NEEDS,
    domain=_domain,
    work=_work,
    member=primary,
    cautions=(
        "From a report of the abstract, which leaves a band out.",
        "Width counts more than area: at equal area wide tears tore again far more often.",
    ),
)
