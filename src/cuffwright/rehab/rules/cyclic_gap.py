"""The gap over many pulls of the repair as laid: it may delay loading; without a hold result it is not computed."""

from cuffwright.case.fact import Citing
from cuffwright.case.rehab import Step
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said, delay

LIMIT, WEEKS = "rehab.gap.caution", "rehab.gap.delay"
LOADING: tuple[Step, ...] = ("active motion", "strengthening")
FLOORS = {"active motion": "rehab.consensus.active", "strengthening": "rehab.consensus.strength"}


def say(repaired: Repaired, facts: Citing) -> Said:
    """A delay of loading where the repair gave way or gapped far in the model."""
    body = repaired.hold.body if repaired.hold else None
    if body is None:
        return Said(
            missing=("gap over many pulls not computed, needs what the repair holds (on the page, or by --hold)",)
        )
    cycles = body.cycles
    if cycles is None:
        return Said(
            missing=("gap over many pulls not computed, needs the compiled kernels: run `cuffwright warm` once",)
        )
    limit, later = facts.number(LIMIT), facts.number(WEEKS)
    count = cycles.counts[-1]
    if cycles.final is None:
        words = f"in the model the repair gave way ({cycles.lost}) within {count} pulls of {cycles.load:g} N"
    elif cycles.final.high > limit:
        far = f"{cycles.final.middle:g} mm ({cycles.final.low:g} to {cycles.final.high:g})"
        words = f"in the model the gap is {far} after {count} pulls of {cycles.load:g} N; above {limit:g} mm take care"
    else:
        return Said()
    found = []
    for step in LOADING:
        base = repaired.protocol.week(step) if repaired.protocol else facts.number(FLOORS[step])
        found.append(
            delay(step, base + later, f"{words}; {later:g} weeks later is a choice, no evidence", (WEEKS,), facts)
        )
    return Said(tuple(found), (f"{words[0].upper()}{words[1:]}: time zero, laboratory, nothing of healing.",))
