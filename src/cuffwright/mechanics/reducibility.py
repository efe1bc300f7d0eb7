"""Can the tear be brought to bone: independent columns of muscle, each as tight as its own edge is retracted.

The straight-line part of the retraction is taken by shifting and turning the tendon. What is left bends the edge
within itself; where it changes too fast along the edge the columns are no longer independent and the apex cannot be
pulled over directly. A sheet would answer with absurd forces there, so this model flags it instead.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from scipy.integrate import quad

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.mechanics.net import Floats

Age = Literal["chronic", "fresh"]
Verdict = Literal["reducible", "caution", "high", "not-directly"]

GROWTH = {"chronic": "tension.growth.chronic", "fresh": "tension.growth.fresh"}


@dataclass(frozen=True)
class PassiveLaw:
    """Passive muscle force per mm of width: ``base`` exp(-``growth`` ``arm`` abduction) (exp(``growth`` r) - 1).

    ``base`` N/mm, ``growth`` per mm of retraction r (mm), ``arm`` mm by which one radian of abduction slackens the
    muscle. ``caution`` and ``high`` are tensions (N) that studies connect with failure; ``shear`` the steepest slope
    of the bent part of the edge (mm/mm) that columns can follow.
    """

    base: float
    growth: float
    arm: float
    caution: float
    high: float
    shear: float

    @classmethod
    def from_facts(
        cls,
        book: Citing,
        age: Age,
        *,
        measured_newtons: float | None = None,
        measured_mm: float | None = None,
        width: float | None = None,
    ) -> "PassiveLaw":
        """Read the law for a tear of an ``age``.

        A tension measured at surgery over the tear's ``width`` (mm) at a retraction of ``measured_mm`` replaces the
        published mean. All three measured values are given, or none.

        Raises
        ------
        CaseError
            When only some of the measured values are given, one is not above 0, or the age is unknown.
        EvidenceError
            When a row is missing.
        """
        if age not in GROWTH:
            raise CaseError(f"a tear is {' or '.join(GROWTH)}, not {age!r}; choose one")
        given = (measured_newtons, measured_mm, width)
        n = book.number
        if all(value is None for value in given):
            force, far, wide = n("tension.operative"), n("tension.operative.retraction"), n("tension.operative.width")
        elif measured_newtons is None or measured_mm is None or width is None:
            raise CaseError("a tension measured at surgery needs newtons, retraction and width; give all three")
        else:
            force, far, wide = measured_newtons, measured_mm, width
        if min(force, far, wide) <= 0.0:
            raise CaseError("tension, retraction and width of the measurement lie above 0; measure again")
        growth = n(GROWTH[age])
        return cls(
            base=force / wide / math.expm1(growth * far),
            growth=growth,
            arm=n("tension.arm"),
            caution=n("tension.caution"),
            high=n("tension.high"),
            shear=n("tension.shear-limit"),
        )

    def per_mm(self, retraction: Floats, abduction_degrees: float = 0.0) -> Floats:
        """Force per width (N/mm) at ``retraction`` mm; a column that reaches by itself pulls nothing."""
        slack = math.exp(-self.growth * self.arm * math.radians(abduction_degrees))
        force: Floats = self.base * slack * np.expm1(self.growth * np.maximum(retraction, 0.0))
        return force


@dataclass(frozen=True)
class Retraction:
    """How far each place of the torn edge lies from its target: ``u`` (mm, rising) and ``far`` (mm) at each."""

    u: tuple[float, ...]
    far: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.u) != len(self.far) or len(self.u) < 2:
            raise CaseError("a retraction needs two or more places along the edge, each with its distance")
        if any(b <= a for a, b in zip(self.u, self.u[1:], strict=False)):
            raise CaseError("the places along the torn edge rise from front to back; sort them")

    def at(self, u: Floats) -> Floats:
        """Retraction (mm) at ``u`` mm, straight between the places."""
        return np.interp(u, self.u, self.far)

    def line(self) -> tuple[float, float]:
        """Height at u = 0 (mm) and slope (mm/mm) of the straight line nearest to the profile over its whole width."""
        u, far = np.array(self.u), np.array(self.far)
        middle, wide = 0.5 * (u[0] + u[-1]), u[-1] - u[0]
        long = np.diff(u)
        half, half_far = 0.5 * (u[1:] + u[:-1]), 0.5 * (far[1:] + far[:-1])
        mean = float((long * half_far).sum()) / wide
        ends = (u[1:] - middle) * far[1:] + (u[:-1] - middle) * far[:-1]
        tilt = float((long * (ends + 4 * (half - middle) * half_far)).sum())
        lean = 2 * tilt / wide**3
        return mean - lean * middle, lean

    def bend(self) -> float:
        """Steepest slope (mm/mm) of what is left when the straight line is taken off."""
        _, lean = self.line()
        slopes = np.diff(self.far) / np.diff(self.u)
        return float(np.abs(slopes - lean).max())

    def released(self, by: float) -> "Retraction":
        """The profile after a release or a medialised insertion brings edge and target ``by`` mm nearer.

        A place below 0 reaches its target and beyond it: it pulls nothing, and the edge bends no more than before.
        """
        return Retraction(self.u, tuple(far - by for far in self.far))

    def converged(self, closed: float) -> "Retraction":
        """The profile after side-to-side sutures closed ``closed`` mm of the cleft, counted from its deepest place.

        The apex lies that much nearer and every other place in proportion: a shallower tear of the same shape.
        """
        if closed < 0.0:
            raise CaseError(f"side-to-side sutures cannot close {closed:g} mm; give 0 or more")
        apex = max(self.far)
        share = max(0.0, apex - closed) / apex if apex > 0.0 else 1.0
        return Retraction(self.u, tuple(share * far for far in self.far))

    def cut(self, height: float) -> "Retraction":
        """The same profile with a place wherever it crosses ``height`` mm."""
        places: list[tuple[float, float]] = []
        for n, (u, far) in enumerate(zip(self.u, self.far, strict=True)):
            if n and (self.far[n - 1] - height) * (far - height) < 0.0:
                share = (height - self.far[n - 1]) / (far - self.far[n - 1])
                cross = self.u[n - 1] + share * (u - self.u[n - 1])
                if self.u[n - 1] < cross < u:
                    places.append((cross, height))
            places.append((u, far))
        return Retraction(tuple(u for u, _ in places), tuple(far for _, far in places))


@dataclass(frozen=True)
class Reduction:
    """What it takes to bring the edge to its target.

    ``force`` N in all, ``apex`` N/mm at the tightest column, ``turn_degrees`` the turn of the tendon that takes the
    straight part, ``bend`` mm/mm of what is left; ``verdict`` and the reason in ``words``.
    """

    force: float
    apex: float
    turn_degrees: float
    bend: float
    verdict: Verdict
    words: str


def judge(law: PassiveLaw, bend: float, force: float) -> Verdict:
    """Whether an edge that bends by ``bend`` (mm per mm) and pulls with ``force`` N comes to bone, and how easily."""
    if bend > law.shear:
        return "not-directly"
    if force > law.high:
        return "high"
    return "caution" if force > law.caution else "reducible"


def reduce_tear(law: PassiveLaw, profile: Retraction, abduction_degrees: float = 0.0) -> Reduction:
    """Force and flags of pulling the retracted edge to its target with the arm at ``abduction_degrees``."""
    places = profile.cut(0.0).u
    force = sum(
        quad(lambda u: float(law.per_mm(profile.at(np.array(u)), abduction_degrees)), a, b)[0]
        for a, b in pairwise(places)
    )
    apex = float(law.per_mm(np.array(max(profile.far)), abduction_degrees))
    bend = profile.bend()
    turn = math.degrees(math.atan(profile.line()[1]))
    verdict = judge(law, bend, force)
    words = {
        "not-directly": f"apex not directly reducible: its edge bends by {bend:.2f} mm per mm; close it side to side",
        "high": f"the edge reaches bone at {force:.0f} N, above the {law.high:g} N connected with torn repairs",
        "caution": f"the edge reaches bone at {force:.0f} N, above {law.caution:g} N: take care",
        "reducible": f"the edge reaches bone at {force:.0f} N",
    }[verdict]
    return Reduction(force, apex, turn, bend, verdict, words)


def site_preloads(law: PassiveLaw, profile: Retraction, sites: Sequence[float], abduction_degrees: float) -> Floats:
    """Force (N) that each stitch at ``sites`` (u, mm) takes from the columns nearer to it than to any other."""
    order = np.sort(np.asarray(sites, float))
    ends = np.concatenate(([profile.u[0]], 0.5 * (order[1:] + order[:-1]), [profile.u[-1]]))
    shares = [
        quad(lambda u: float(law.per_mm(profile.at(np.array(u)), abduction_degrees)), a, b)[0]
        for a, b in pairwise(ends)
    ]
    return np.array(shares)[np.argsort(np.argsort(np.asarray(sites, float)))]
