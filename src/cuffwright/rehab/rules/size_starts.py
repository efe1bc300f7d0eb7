"""Sling and active motion as practice scales them by size: recalled, no trial fixes them."""

from cuffwright.anatomy.tear_size import size_class
from cuffwright.case.fact import Citing
from cuffwright.case.rehab import Step
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said, delay

STARTS: tuple[tuple[Step, str], ...] = (("sling ends", "sling"), ("active motion", "active"))


def say(repaired: Repaired, facts: Citing) -> Said:
    """The later end of what practice gives for this size."""
    size = size_class(repaired.width_mm, facts)
    found = []
    for step, name in STARTS:
        row = facts.fact(f"rehab.size.{size}.{name}")
        late = row.high if row.high is not None else row.value
        words = f"practice for {size} tears: week {late:g}, no trial"
        found.append(delay(step, late, words, (row.key,), facts))
    return Said(tuple(found))
