"""Directions and orders: 1 where numbers rise, -1 where they fall, 0 where they do neither."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from cuffwright.course.proof.rig import Rig

Rigs = Callable[[str], Rig]
"""The rig of a construct by its name."""

SLIGHT = 0.02
"""Numerical choice: a change below this share counts as none."""


def sign(after: float, before: float) -> float:
    """1, 0 or -1: whether ``after`` lies above, within a slight change of, or below ``before``."""
    change = after - before
    return float(np.sign(change)) if abs(change) > SLIGHT * abs(before) else 0.0


def order(values: Sequence[float | None]) -> float | None:
    """1 when each value exceeds the one before by more than a slight change, -1 when all fall, else 0."""
    known = [v for v in values if v is not None]
    if len(known) < len(values):
        return None
    steps = {sign(b, a) for a, b in pairwise(known)}
    return steps.pop() if len(steps) == 1 else 0.0


def all_alike(signs: Sequence[float]) -> float:
    """The direction all ``signs`` share, or 0."""
    return signs[0] if len(set(signs)) == 1 else 0.0


def slope(pairs: Sequence[tuple[float, float]]) -> float:
    """Slope of the line of least squares through ``pairs``."""
    x, y = np.array(pairs).T
    return float(np.polyfit(x, y, 1)[0])
