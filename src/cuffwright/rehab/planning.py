"""The steps of one rehabilitation: the surgeon's week, never earlier; the consensus beside it; the delays."""

from datetime import date, timedelta
from math import ceil

from cuffwright.case.fact import Citing
from cuffwright.case.rehab import STEPS, Delay, Milestone, Protocol, Step

CONSENSUS = {
    "sling ends": "rehab.consensus.active",
    "passive motion": "rehab.consensus.passive",
    "active motion": "rehab.consensus.active",
    "strengthening": "rehab.consensus.strength",
}
PHASES = (
    ("protect", None, "phase2"),
    ("active motion", "phase2", "phase3"),
    ("strengthening", "phase3", "phase4"),
    ("return", "phase4", "end"),
)
CRITERIA = (
    "little pain at rest and in the exercises of the stage",
    "passive motion of the stage reached, within the surgeon's limits",
    "motion without shrugging the shoulder blade",
    "no sudden loss of motion or strength",
)


DAYS_PER_WEEK = 7
"""Numerical choice: days of a week."""


def day_of(operation: date, weeks: float) -> date:
    """The day on which so many weeks have passed: part of a day counts as a whole one, so never early."""
    return operation + timedelta(days=ceil(weeks * DAYS_PER_WEEK))


def consensus(facts: Citing) -> tuple[tuple[str, float, float], ...]:
    """The published phases with their weeks."""

    def week(name: str | None) -> float:
        return 0.0 if name is None else facts.number(f"rehab.consensus.{name}")

    return tuple((name, week(start), week(end)) for name, start, end in PHASES)


def milestones(
    protocol: Protocol | None, delays: tuple[Delay, ...], operation: date | None, facts: Citing
) -> tuple[Milestone, ...]:
    """Every step; a proposed week is the latest of the surgeon's, else the consensus, and of all delays."""
    return tuple(_milestone(step, protocol, delays, operation, facts) for step in STEPS)


def _milestone(
    step: Step, protocol: Protocol | None, delays: tuple[Delay, ...], operation: date | None, facts: Citing
) -> Milestone:
    published = facts.number(CONSENSUS[step])
    own = protocol.week(step) if protocol else None
    base = published if own is None else own
    later = tuple(one for one in delays if one.step == step and one.week > base)
    proposed = max([base, *(one.week for one in later)])
    day = None if operation is None else day_of(operation, proposed)
    return Milestone(step, own, published, proposed, day, later)
