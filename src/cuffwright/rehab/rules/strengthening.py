"""No strengthening before the week of the consensus, later where practice scales it by size."""

from cuffwright.anatomy.tear_size import size_class
from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said, delay

FLOOR = "rehab.consensus.strength"


def say(repaired: Repaired, facts: Citing) -> Said:
    """The later of the consensus and of practice for this size."""
    size = size_class(repaired.width_mm, facts)
    row, floor = facts.fact(f"rehab.size.{size}.strength"), facts.number(FLOOR)
    found = [delay("strengthening", floor, f"consensus of therapists: not before week {floor:g}", (FLOOR,), facts)]
    late = row.high if row.high is not None else row.value
    if late > floor:
        words = f"practice for {size} tears: week {floor:g} to {late:g}, no trial"
        found.append(delay("strengthening", late, words, (row.key,), facts))
    return Said(tuple(found))
