"""Directions between constructs, on rigs of known numbers."""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np
import pytest

from cuffwright.course.proof.bench import Bench, Construct, Target
from cuffwright.course.proof.contact_trends import mean_order
from cuffwright.course.proof.trends import ultimate_rises

MADE = tuple(Construct(name, name, 0, 2, "simple") for name in ("low", "high", "middle"))
BENCH = Bench("invented", "invented", "", {}, MADE, ())
ASKED = Target("X1", "published.x", "", "", "blind")
STRONG = {"low": 100.0, "middle": 101.0, "high": 150.0}


@dataclass
class Known:
    """A rig that bears and presses a known number, its tendon ``cap``."""

    newtons: float
    cap: float = 1000.0

    @property
    def woven(self):
        return SimpleNamespace(cap=self.cap)

    def scattered(self, _):
        return SimpleNamespace(ultimate=np.array([self.newtons - 10, self.newtons + 10]))

    def pressed(self, _):
        return SimpleNamespace(mean=self.newtons)


def rig(name):
    return Known(STRONG[name])


@pytest.mark.parametrize("one, other, way", [("high", "low", 1.0), ("low", "high", -1.0), ("middle", "low", 0.0)])
def test_strength_rises_falls_or_stays_by_a_slight_change(one, other, way):
    """150 over 100 N rises, the reverse falls, 101 over 100 N is within the slight change of 2 %."""
    assert ultimate_rises(rig, BENCH, replace(ASKED, construct=one, over=other)) == way


def test_strength_counts_no_further_than_the_tendon_bears():
    """Both repairs bear more than their tendon of 80 N: no difference is seen."""
    capped = {name: Known(newtons, cap=80.0) for name, newtons in STRONG.items()}
    assert ultimate_rises(capped.__getitem__, BENCH, replace(ASKED, construct="high", over="low")) == 0.0


def test_only_the_named_constructs_are_ranked_and_in_their_order():
    """As the bench lists them there is no order; low, high as named rise; high, low fall."""
    assert mean_order(rig, BENCH, ASKED) == 0.0
    assert mean_order(rig, BENCH, replace(ASKED, among=("low", "high"))) == 1.0
    assert mean_order(rig, BENCH, replace(ASKED, among=("high", "low"))) == -1.0
