"""A chart that runs over repairs in order and finds that more fail than their risks say."""

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from math import exp, log

import numpy as np
from scipy.linalg import solve_banded

from cuffwright.case.errors import CaseError

STATES = 2000
"""Numerical choice: steps of the score between 0 and its limit when run lengths are worked out."""

FARTHEST = 20.0
"""Numerical choice: log odds beyond which no shift of risks is looked for."""

KEPT = 256
"""Numerical choice: run lengths that are remembered; each page asks for six."""

HALVINGS = 60
"""Numerical choice: halvings of the shift; finer than any risk is known."""


def weight(risk: float, failed: bool, odds: float) -> float:
    """What one repair adds to the score: log of its likelihood with the odds times ``odds`` over that with its risk."""
    if not 0 < risk < 1:
        raise CaseError(f"a risk of {risk:g} cannot be; give a share between 0 and 1")
    whole = 1 - risk + odds * risk
    return log(odds / whole) if failed else log(1 / whole)


def scores(risks: Sequence[float], failed: Sequence[bool], odds: float, resets: frozenset[int]) -> list[float]:
    """The score after each repair, never below 0; it starts anew before each place in ``resets``."""
    found, score = [], 0.0
    for place, (risk, torn) in enumerate(zip(risks, failed, strict=True)):
        score = max(0.0, (0.0 if place in resets else score) + weight(risk, torn, odds))
        found.append(score)
    return found


def differences(risks: Sequence[float], failed: Sequence[bool]) -> list[float]:
    """Failures expected minus failures seen, after each repair: it rises where fewer fail than expected."""
    found, total = [], 0.0
    for risk, torn in zip(risks, failed, strict=True):
        total += risk - torn
        found.append(total)
    return found


def shifted(risk: float, shift: float) -> float:
    """A risk with its log odds moved by ``shift``."""
    return 1 / (1 + exp(-shift - log(risk / (1 - risk))))


def shift_of(risks: Sequence[float], failed: Sequence[bool]) -> float | None:
    """The shift with which the risks expect as many failures as were seen; None where none or all failed."""
    seen = sum(failed)
    if not 0 < seen < len(risks):
        return None
    low, high = -FARTHEST, FARTHEST
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        few = sum(shifted(risk, middle) for risk in risks) < seen
        low, high = (middle, high) if few else (low, middle)
    return (low + high) / 2


def run_length(risks: Sequence[float], odds: float, limit: float, truth: float) -> float:
    """Repairs until the score reaches ``limit`` on average, patients coming in chance order of these risks.

    ``truth`` multiplies the odds of each failure: 1 gives the time to a false alarm, ``odds`` that until it is found.
    A Markov chain over steps of the score, each move rounded to the nearest step.
    """
    mix = tuple((risk, count / len(risks)) for risk, count in sorted(Counter(risks).items()))
    return _length(mix, odds, limit, truth)


@lru_cache(maxsize=KEPT)
def _length(mix: tuple[tuple[float, float], ...], odds: float, limit: float, truth: float) -> float:
    step, at = limit / STATES, np.arange(STATES)
    moves = []
    for risk, share in mix:
        real = truth * risk / (1 - risk + truth * risk)
        for failed, chance in ((True, real), (False, 1 - real)):
            to = np.maximum(0, np.rint(at + weight(risk, failed, odds) / step)).astype(int)
            moves.append((to, share * chance))
    up, down = (max(int((sign * (to - at)).max()) for to, _ in moves) for sign in (1, -1))
    band = np.zeros((up + down + 1, STATES))
    band[up] = 1
    for to, chance in moves:
        stays = to < STATES
        np.subtract.at(band, (up + at[stays] - to[stays], to[stays]), chance)
    return float(solve_banded((down, up), band, np.ones(STATES))[0])
