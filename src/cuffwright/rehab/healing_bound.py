"""How much of a sound tendon's strength sheep had regained: an upper bound for old human tears, from memory."""

from math import exp

from cuffwright.case.fact import Citing

TIME = "rehab.heal.time"
WEEKS = ("rehab.consensus.active", "rehab.consensus.strength", "rehab.consensus.end")


def regained(weeks: float, facts: Citing) -> float:
    """The share regained after so many weeks."""
    return 1 - exp(-weeks / facts.number(TIME))


def bound(facts: Citing) -> tuple[tuple[float, float], ...]:
    """Weeks and share at the edges of the consensus."""
    weeks = (facts.number(key) for key in WEEKS)
    return tuple((week, round(regained(week, facts), 2)) for week in weeks)
