"""Not healed by size: a trial of 47 hospitals, imaged at 12 months."""

from cuffwright.anatomy.tear_size import size_class
from cuffwright.case.fact import Citing
from cuffwright.healing.classes.size_by_width import full, size_domain
from cuffwright.healing.deciding import Given
from cuffwright.healing.models._model import NOT_HEALED, Found, Model, primary


def _work(given: Given, facts: Citing) -> Found:
    rate = facts.number(f"retear.size.{size_class(float(given['tear.width_mm'] or 0), facts)}")
    return Found((rate, rate))


MODEL = Model(
    name="size-band",
    title="By size",
    order=(0, 3),
    outcome=NOT_HEALED,
    people="217 repairs, 65 surgeons, 47 hospitals",
    imaging="MR or ultrasound",
    when="12 months",
    key="retear.size.small",
    required=("tear.width_mm",),
    domain=size_domain,
    work=_work,
    member=primary,
    cautions=("Sizes by width, which is how this program reads the classes of the trial.",),
    only_if=full,
)
