"""Retear by age: 1600 repairs of one surgeon."""

from cuffwright.case.fact import Citing
from cuffwright.healing.deciding import Domain, Given, around
from cuffwright.healing.models._model import NOT_HEALED, Found, Model, first_repair

EDGES = (1, 2, 3, 4)


def age_rate(age: float, facts: Citing) -> float:
    """The share torn again at this age, years."""
    band = sum(age >= facts.number(f"retear.age.edge.{edge}") for edge in EDGES)
    return facts.number(f"retear.age.rate.{band}")


def _work(given: Given, facts: Citing) -> Found:
    rate = age_rate(float(given["patient.age"] or 0), facts)
    return Found((rate, rate))


def _domain(facts: Citing) -> Domain:
    return {"patient.age": around(*(facts.number(f"retear.age.edge.{edge}") for edge in EDGES))}


MODEL = Model(
    name="age-band",
    title="By age",
    order=(0, 2),
    outcome=NOT_HEALED,
    people="1600 repairs of one surgeon, single row, partial tears included",
    imaging="ultrasound",
    when="6 months",
    key="retear.age.rate.0",
    required=("patient.age",),
    domain=_domain,
    work=_work,
    member=first_repair,
    cautions=("One expert's rates; many hospitals together see about three times as many.",),
)
