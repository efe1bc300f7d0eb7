"""Can the torn edge be brought to bone, how hard does it pull, and how much of a remedy would free it."""

from bisect import bisect_left
from dataclasses import dataclass, replace
from math import atan, degrees, log1p, sqrt

import numpy as np

from cuffwright.case.body import Reduction, Relief, Remedy
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Interval
from cuffwright.case.tear import Tear
from cuffwright.course.prepared import Prepared
from cuffwright.course.rounding import interval, part, rounded
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.reducibility import Age, PassiveLaw, Retraction, judge

DRAWS = 2000
"""Numerical choice: draws of the passive tension; it costs no ramp."""

SHARE = 0.9
"""Numerical choice: share of the draws between the ends of an interval, as for every other result."""

PIECES = 41
"""Numerical choice: places along the edge at which the drawn tension is summed."""

STRIDE = 0.5
"""Numerical choice: step in which a remedy is tried, mm."""

AGES: tuple[Age, Age] = ("chronic", "fresh")


@dataclass(frozen=True)
class Pull:
    """The passive tension of one torn edge: laws to draw from, its profile, what the layout does about it.

    ``nearer`` mm brings edge and target together; ``closed`` mm of a cleft are closed side to side. ``spread`` is the
    share by which the tension of one shoulder differs from the mean, ``far`` the retraction (mm), ``sd`` its SD.
    """

    laws: tuple[PassiveLaw, ...]
    tear: Tear
    width: float
    far: float
    sd: float
    spread: float
    nearer: float = 0.0
    closed: float = 0.0

    @property
    def profile(self) -> Retraction:
        """How far each place of the edge still lies from its target."""
        return edge_profile(self.tear, self.width, self.far).converged(self.closed).released(self.nearer)

    def drawn(self, abduction_degrees: float, seed: int) -> Floats:
        """Passive tension (N) over shoulders and errors of measurement, lognormal about its mean."""
        chance = np.random.default_rng(seed)
        sigma = sqrt(log1p(self.spread**2))
        strong = np.exp(sigma * chance.standard_normal(DRAWS) - sigma**2 / 2)
        far = np.maximum(0.0, self.far + self.sd * chance.standard_normal(DRAWS) - self.closed)
        shape = edge_profile(self.tear, self.width, 1.0)
        u = np.linspace(0.0, self.width, PIECES)
        away = np.maximum(0.0, far[:, None] * shape.at(u)[None, :] - self.nearer)
        which = np.arange(DRAWS) % len(self.laws)
        force = np.zeros(DRAWS)
        for n, law in enumerate(self.laws):
            mine = which == n
            force[mine] = np.trapezoid(law.per_mm(away[mine], abduction_degrees), u, axis=1)
        drawn: Floats = strong * force
        return drawn


def edge_profile(tear: Tear, width: float, far: float) -> Retraction:
    """The retraction along an edge of which only shape and greatest retraction (``far`` mm) are known.

    By the meaning of the names (common practice, no source): a crescent comes to bone evenly; the cleft of a U is
    deepest in the middle; an L hangs at its corner, deepest beside its limb; a contracted massive tear is far
    everywhere.
    """
    if tear.shape == "U":
        return Retraction((0.0, width / 2, width), (0.0, far, 0.0))
    if tear.shape in {"L", "reverse L"}:
        front = (tear.limb_side or ("anterior" if tear.shape == "L" else "posterior")) == "anterior"
        return Retraction((0.0, width), (far, 0.0) if front else (0.0, far))
    return Retraction((0.0, width), (far, far))


def pull_of(prepared: Prepared, layout: Layout, facts: Citing) -> Pull | str:
    """The passive tension of this tear under this layout, or what it needs and lacks."""
    tear, width = prepared.sheet.tear, prepared.strip.width
    if tear.retraction_mm is None:
        return "tear.retraction_mm"
    if tear.shape is None:
        return "tear.shape"
    ages = AGES if tear.long_standing is None else (AGES[0 if tear.long_standing else 1],)
    row, told = facts.fact("tension.operative"), tear.operative_tension_newtons
    far = tear.retraction_mm
    if told is None or told.value == 0 or far.value == 0:
        laws = tuple(PassiveLaw.from_facts(facts, age) for age in ages)
        spread = (row.sd or 0.0) / row.value
    else:
        laws = tuple(
            PassiveLaw.from_facts(facts, age, measured_newtons=told.value, measured_mm=far.value, width=width)
            for age in ages
        )
        spread = told.sd / told.value
    sides = [layout.hole(name).v for stitch in layout.stitches if not stitch.anchor for name in stitch.holes]
    left = prepared.strip.edge - max(sides) if sides else far.value
    nearer = max(0.0, prepared.strip.edge - layout.on(prepared.strip).edge)
    return Pull(laws, tear, width, far.value, far.sd, spread, nearer, max(0.0, far.value - left))


def tension(pull: Pull, abduction_degrees: float, seed: int) -> Interval:
    """The passive tension (N) with the arm abducted so far, as an interval."""
    return _summed(pull.drawn(abduction_degrees, seed))


def _summed(drawn: Floats) -> Interval:
    low, high = np.quantile(drawn, ((1 - SHARE) / 2, (1 + SHARE) / 2))
    return interval(Interval(float(drawn.mean()), float(low), float(high), "N", SHARE))


def reduction(pull: Pull, seed: int) -> Reduction:
    """The verdict on bringing the edge to its target with the arm at the side."""
    law, profile, drawn = pull.laws[0], pull.profile, pull.drawn(0.0, seed)
    force, bend = _summed(drawn), profile.bend()
    verdict = judge(law, bend, force.middle)
    span = f"{force.middle:g} N ({force.share:.0%} in {force.low:g} to {force.high:g})"
    more = {
        "reducible": "",
        "caution": f"; above {law.caution:g} N: take care",
        "high": f"; above the {law.high:g} N connected with torn repairs",
        "not-directly": f"; its apex not directly: the edge bends {bend:.2f} mm per mm, more than {law.shear:g}",
    }[verdict]
    return Reduction(
        force=force,
        turn_degrees=round(degrees(atan(profile.line()[1])), 1),
        bend=rounded(bend, "mm"),
        nearer=rounded(pull.nearer, "mm"),
        closed=rounded(pull.closed, "mm"),
        torn_at=law.high,
        over_high=part(float(np.mean(drawn > law.high))),
        verdict=verdict,
        words=f"the edge reaches bone at {span}{more}",
    )


def reliefs(pull: Pull, most: float, seed: int) -> tuple[Relief, ...]:
    """How much release (or medialised insertion), and for a cleft how much closing side to side, frees the edge."""
    found = [_needed(pull, "release", min(most, pull.far), seed)]
    if pull.tear.shape in {"U", "L", "reverse L"}:
        found.append(_needed(pull, "side-to-side", min(most, pull.far), seed))
    return tuple(found)


def _needed(pull: Pull, remedy: Remedy, most: float, seed: int) -> Relief:
    """The least amount that frees the edge; more of a remedy never pulls harder nor bends the edge more."""
    name = {"release": "a release or medialised insertion", "side-to-side": "closing the cleft side to side"}[remedy]

    def frees(steps: int) -> bool:
        by = steps * STRIDE
        helped = (
            replace(pull, nearer=pull.nearer + by)
            if remedy == "release"
            else replace(pull, closed=min(pull.far, pull.closed + by))
        )
        return judge(pull.laws[0], helped.profile.bend(), tension(helped, 0.0, seed).middle) == "reducible"

    steps = int(most / STRIDE) + 1
    least = bisect_left(range(steps), True, key=frees)
    if least == steps:
        return Relief(remedy, None, rounded(most, "mm"), f"{name} by up to {most:g} mm does not bring it to bone alone")
    by = least * STRIDE
    words = f"{name} by {by:g} mm brings the edge to bone without a flag" if by else f"{name} is not needed"
    return Relief(remedy, by, rounded(most, "mm"), words)
