"""What a rule says: delays, cautions, and what it could not look at."""

from dataclasses import dataclass

from cuffwright.case.fact import Citing
from cuffwright.case.rehab import Delay, Step


@dataclass(frozen=True)
class Said:
    """Delays, cautions in words, and what is missing, as the end of the sentence *not computed, needs*."""

    delays: tuple[Delay, ...] = ()
    cautions: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def delay(step: Step, week: float, words: str, keys: tuple[str, ...], facts: Citing) -> Delay:
    """A delay with the keys of the rows that it rests on."""
    return Delay(step, week, words, keys, all(facts.fact(key).verified for key in keys))
