"""Pull one threaded repair to failure without scatter: curve, gap, shares, first and last member to go."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.quantity import Caution
from cuffwright.mechanics.curve import at_load, secant
from cuffwright.mechanics.limits import UNTIED
from cuffwright.mechanics.net import Curve, Floats, Net
from cuffwright.mechanics.weave import Woven

STEP = 0.25
"""Numerical choice: clamp step of a ramp, mm; the ultimate lies within 2 % of that at 0.05 mm."""

FARTHEST = 25.0
"""Numerical choice: clamp motion after which a ramp ends, mm."""

OFTEN = 0.15
"""Numerical choice: chance of a slipping knot from which it is said."""

ENDLESS = 1e9
"""Numerical choice: a load no ramp reaches, N."""

Member = Literal["hole", "limb", "anchor"]
MEMBERS: tuple[Member, Member, Member] = ("hole", "limb", "anchor")


@dataclass(frozen=True)
class Failure:
    """One member lost: what it is, its name, and the clamp force (N) it was last seen to stand."""

    kind: Member
    name: str
    load: float


@dataclass(frozen=True)
class Shares:
    """What every member carries at ``load`` newtons, and how much of its strength that is (1 is all of it).

    ``limbs`` are the stitches by name (tension, N), ``holes`` and ``anchors`` N; the three ``used`` likewise.
    ``gap`` is in mm.
    """

    load: float
    gap: float
    limbs: dict[str, float]
    holes: dict[str, float]
    anchors: dict[str, float]
    limbs_used: dict[str, float]
    holes_used: dict[str, float]
    anchors_used: dict[str, float]


@dataclass(frozen=True, eq=False)
class Ramp:
    """One repair pulled to failure.

    ``ultimate`` (N) is capped at the strength of the tendon; ``uncapped`` is not. ``yield_load`` (N) is when
    the first hole starts to tear, None when none does; ``stiffness`` N/mm from 50 N to 0.6 of the ultimate.
    """

    woven: Woven = field(repr=False)
    curve: Curve = field(repr=False)

    @property
    def uncapped(self) -> float:
        """The ramp's highest force (N)."""
        return max(0.0, float(self.curve.force.max()))

    @property
    def ultimate(self) -> float:
        """The highest force (N), or the tendon's own strength where that is less."""
        return min(self.uncapped, self.woven.cap)

    @property
    def yield_load(self) -> float | None:
        """Force (N) when the first hole starts to tear, or None when none does."""
        return None if np.isnan(self.curve.yields) else float(self.curve.yields)

    @property
    def stiffness(self) -> float | None:
        """Secant stiffness (N/mm) over the clamp's motion, or None when the ultimate is too low for it."""
        return secant(self.curve.force, self.curve.clamp)

    @property
    def tied(self) -> dict[str, float]:
        """Tension (N) of each suture once all of them are fixed: limbs fixed later tighten those fixed before."""
        return dict(zip(self.woven.limbs, self.curve.tension[0].tolist(), strict=True))

    @cached_property
    def failures(self) -> tuple[Failure, ...]:
        """The lost members in order."""
        names = (self.woven.holes, self.woven.limbs, self.woven.anchors)
        return tuple(
            Failure(MEMBERS[kind], names[kind][index], float(self.curve.force[max(row - 1, 0)]))
            for row, kind, index in self.curve.events.tolist()
        )

    @property
    def first(self) -> Failure | None:
        """The first member to fail, or None."""
        return self.failures[0] if self.failures else None

    @property
    def final(self) -> Failure | None:
        """The last member to fail before what was left could not bear the peak, or None."""
        return self.failures[-1] if self.failures else None

    @property
    def seat(self) -> float:
        """How far the tendon edge lies medial (mm) of its planned place once tied; below 0 it is pulled lateral."""
        return float(self.curve.place[0])

    def gap(self, load: float) -> float | None:
        """How far the tendon edge has moved medially (mm) at ``load`` newtons, or None when not reached."""
        found = at_load(self.curve.force, self.curve.edge, load)
        return None if found is None else float(found)

    def gap_profile(self, load: float) -> tuple[Floats, Floats] | None:
        """Chart u (mm) along the tendon edge and the gap (mm) there at ``load`` newtons, or None."""
        now = at_load(self.curve.force, self._profiles, load)
        return None if now is None else (self.woven.strip.front + self.woven.sheet.u, now - self._profiles[0])

    @cached_property
    def _profiles(self) -> Floats:
        """Place (s, nu) mm of every edge node medial of its planned place, row by row."""
        sheet, net = self.woven.sheet, self.woven.net
        rim = 2 * sheet.rim + 1
        grip = sheet.grip(net.at)
        shift = self.curve.tissue + self.curve.clamp[:, None] * net.carry
        away = self.curve.clamp[:, None] * sheet.ride[rim, 0] - self.curve.pull @ (grip @ sheet.flex[:, rim])
        if self.woven.around.free:
            strain = shift - self.curve.pull @ (grip @ sheet.flex @ grip.T)
            modes = grip @ sheet.ride[:, 1:]
            away -= (strain @ np.linalg.pinv(modes).T) @ sheet.ride[rim, 1:].T
        placed: Floats = away
        return placed

    def shares(self, load: float) -> Shares | None:
        """What limbs, holes and anchors carry at ``load`` newtons, or None when the repair does not reach it."""
        gap = self.gap(load)
        tension = at_load(self.curve.force, self.curve.tension, load)
        slot = at_load(self.curve.force, self.curve.slot, load)
        anchor = at_load(self.curve.force, self.curve.anchor, load)
        if gap is None or tension is None or slot is None or anchor is None:
            return None
        net, woven = self.woven.net, self.woven
        hole = bearing_force(net, slot)[: len(woven.holes)]
        tear = net.tear[: len(woven.holes)]
        return Shares(
            load,
            gap,
            *(
                dict(zip(names, values.tolist(), strict=True))
                for names, values in (
                    (woven.limbs, tension),
                    (woven.holes, hole),
                    (woven.anchors, anchor),
                    (woven.limbs, tension / net.strength),
                    (woven.holes, hole / tear),
                    (woven.anchors, anchor / net.hold),
                )
            ),
        )

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """What limits this result: beyond the tendon's capacity, or a suture sunk too deep before the peak."""
        found = []
        if self.uncapped > self.woven.cap:
            text = f"the repair would hold {self.uncapped:.0f} N, beyond tendon capacity;"
            text += f" shown is the tendon's {self.woven.cap:.0f} N"
            found.append(Caution("tendon-capacity", text, fact="tendon.capacity.anterior"))
        if self.curve.events.size and self.curve.events[0, 0] == 0:
            text = f"{self.failures[0].kind} {self.failures[0].name} gives way while the sutures are tied"
            found.append(Caution("fails-when-tied", text, self.failures[0].name))
        if self.woven.parameters.knot_slip > OFTEN:
            chance = self.woven.parameters.knot_slip
            text = f"so few half hitches let about {chance:.0%} of knots slip open before they break; add some"
            found.append(Caution("knot-slip", text, severity="note", fact="knot.slip.1"))
        softer = self.woven.net.tension < self.woven.planned_tension
        if softer.any():
            rope = int(np.argmin(self.woven.net.tension / self.woven.planned_tension))
            name, least = self.woven.limbs[rope], self.woven.net.tension[rope]
            text = f"tendon or bone bears only {least:.0f} N on suture {name} when it is tied; tied softer than planned"
            found.append(Caution("tied-softer", text, name, "note", "suture.tension.limit"))
        share = self.curve.depth / self.woven.net.thick
        limit = self.woven.parameters.depth_limit
        deep = np.flatnonzero((share > limit).any(axis=1))
        if deep.size and deep[0] <= int(self.curve.force.argmax()):
            site = int(share[deep[0]].argmax())
            name = self.woven.holes[self.woven.route.hole[site]]
            text = f"from {self.curve.force[deep[0]]:.0f} N on, the suture at limb {name} sinks deeper than {limit:.0%}"
            text += " of the tendon's thickness; the model is not valid beyond that load"
            found.append(Caution("indentation", text, name, fact="limit.indentation"))
        return tuple(found)


def bearing_force(net: Net, slot: Floats) -> Floats:
    """Force (n) N between rope and tissue at each site for the way ``slot`` (n, 2) mm between them."""
    d = np.linalg.norm(slot, axis=1)
    past = np.maximum(d - net.tear / net.bearing, 0.0)
    force: Floats = net.bearing * (d - past) + net.hard * net.bearing * past
    return force


def pull(woven: Woven, *, step: float = STEP, plain: bool = False) -> Ramp:
    """Tie and pull a threaded repair without scatter.

    Parameters
    ----------
    woven
        From :func:`cuffwright.mechanics.weave.weave`.
    step
        Clamp step, mm.
    plain
        Use the plain numpy twin, which needs no compiling, instead of the compiled kernel.

    Raises
    ------
    OutsideValidity
        When the sutures cannot be tied against the preload.
    """
    if plain:
        from cuffwright.mechanics import plain as twin

        return Ramp(woven, twin.rise(woven.net, step, FARTHEST))
    from cuffwright.mechanics.kernels import ramp

    tied, stiff, rest = ramp.tie(woven.net)
    if not abs(tied[-1]) < FARTHEST:
        raise OutsideValidity(UNTIED)
    slot = np.zeros_like(woven.net.at)
    return Ramp(woven, ramp.rise(woven.net, tied, stiff, rest, slot, step, FARTHEST, ENDLESS, ramp.EVEN))
