"""One construct in one set-up of its bench, ready to be pulled, cycled and pressed; each run is kept."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from threading import Lock

import numpy as np

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.course.proof.bench import Construct
from cuffwright.course.proof.laying import lay
from cuffwright.course.wrapping import Wrap, wrap_at
from cuffwright.mechanics.cyclic import Cycled, CyclicLaw, cycle
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.pressure.contact import ContactMap, contact_map
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.footprint import Footprint
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.parameters import ContactParameters
from cuffwright.mechanics.pressure.shelf import PressureShelf
from cuffwright.mechanics.pressure.stitches import EdgeExit, spans_of
from cuffwright.mechanics.pull import Ramp, pull
from cuffwright.mechanics.scatter import CHUNK, Draws, Spread, draw
from cuffwright.mechanics.surroundings import Surroundings
from cuffwright.mechanics.weave import Woven, weave


@dataclass(frozen=True)
class Ground:
    """What rigs share: rows, number of draws, seed, and what is kept between pressure maps, one map at a time."""

    facts: Citing
    draws: int
    seed: int
    shelf: PressureShelf = field(default_factory=PressureShelf, repr=False)
    turn: Lock = field(default_factory=Lock, repr=False)


@dataclass(eq=False)
class Rig:
    """A construct with the numbers of its set-up; ``contested`` takes the contested bridging factor."""

    shared: Ground
    construct: Construct
    setup: Mapping[str, float]
    contested: bool
    _drawn: dict[float, Draws] = field(default_factory=dict, repr=False)
    _cycled: dict[float, Cycled] = field(default_factory=dict, repr=False)
    _maps: dict[float, ContactMap | None] = field(default_factory=dict, repr=False)

    @cached_property
    def laid(self) -> tuple[Layout, TendonStrip]:
        """Layout and strip."""
        return lay(self.construct, self.setup)

    @cached_property
    def parameters(self) -> Parameters:
        """The laboratory's numbers: an intact donor tendon, one anchor strength, the set-up's own tensions."""
        numbers = Parameters.from_facts(
            self.shared.facts,
            tissue="good",
            bone="good",
            torn=False,
            design_anchors=True,
            bridging_factor=self.contested,
        )
        share = {"knot": self.setup["knot_share"], "limb": self.setup["limb_share"]}
        return replace(numbers, tension={kind: share[kind] * newtons for kind, newtons in numbers.tension.items()})

    @cached_property
    def woven(self) -> Woven:
        """The threaded repair."""
        layout, strip = self.laid
        return weave(layout, strip, self.parameters)

    @cached_property
    def ramp(self) -> Ramp:
        """The pull without scatter."""
        return pull(self.woven)

    def drawn(self, load: float) -> Draws:
        """The laboratory's draws, read at ``load`` (N); every set-up is drawn with the same deviates."""
        if load not in self._drawn:
            spread = Spread.from_facts(self.shared.facts, "laboratory")
            size = min(CHUNK, self.shared.draws)
            chunks = range(-(-self.shared.draws // size))
            parts = [draw(self.woven, spread, seed=self.shared.seed, chunk=n, load=load, size=size) for n in chunks]
            self._drawn[load] = Draws.join([part for part in parts if part is not None])
        return self._drawn[load]

    def scattered(self, load: float) -> Draws:
        """Draws read at any load, for what does not depend on it; ``load`` (N) where there are none yet."""
        known = list(self._drawn.values())
        return known[0] if known else self.drawn(load)

    def cycled(self, load: float) -> Cycled:
        """Repeated pulls to ``load`` (N), without scatter."""
        if load not in self._cycled:
            self._cycled[load] = cycle(self.woven, CyclicLaw.from_facts(self.shared.facts), load)
        return self._cycled[load]

    @cached_property
    def turned(self) -> Ramp:
        """The pull without scatter with the arm turned outwards by the set-up's ``turn``, in the guided clamp.

        The footprint turns under the muscle, which pulls backwards on it by as much.
        """
        layout, strip = self.laid
        return pull(weave(layout, strip, self.parameters, Surroundings(pull_degrees=self.setup["turn"])))

    def pressed(self, load: float) -> ContactMap | None:
        """The pressure map at ``load`` (N) of pull on the tendon, 0 as tied; None where the model must not answer."""
        if load not in self._maps:
            shares = self.ramp.shares(load) if load else None
            tension = self.ramp.tied if not load else (shares.limbs if shares else None)
            wrap = wrap_at(self.ramp, load, self._curvature) if load else None
            self._maps[load] = None if tension is None else self._map(tension, wrap)
        return self._maps[load]

    def _curvature(self, v: Floats) -> Floats:
        return np.full(v.shape, self.setup["curvature"])

    def _map(self, tension: Mapping[str, float], wrap: Wrap | None) -> ContactMap | None:
        layout, strip = self.laid
        facts, setup = self.shared.facts, self.setup
        numbers = ContactParameters.from_facts(facts)
        wide = setup["window"] / strip.edge
        window = Footprint(strip.width / 2 - wide / 2, strip.width / 2 + wide / 2, 0.0, strip.edge)
        numbers = replace(numbers, width=numbers.width * setup["width_share"])
        spans = spans_of(layout, strip, tension, EdgeExit(setup["exit"]), numbers)
        layer = LayerProperties.from_facts(facts, strip.thickness)
        medial = {a.name: (a.u, a.v) for a in layout.row("medial")}
        grid = Grid.over(strip.width, strip.edge)
        try:
            with self.shared.turn:
                own = None if wrap is None else wrap(grid)
                return contact_map(spans, grid, layer, window, numbers, self.shared.shelf, medial, wrap=own)
        except OutsideValidity:
            return None
