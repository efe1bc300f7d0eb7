"""The parametric shoulder with a chosen tear: what stands at each point of the patient.

Bones are those of :mod:`cuffwright.anatomy`; the tendon is a sheet over the chart, missing where the tear is. The
body's own axes (forward, up, lateral, origin in the head centre) become the patient's (left, posterior, head).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import Population, ShoulderMeasures
from cuffwright.anatomy.shoulder import Shoulder, ShoulderForms, build_shoulder
from cuffwright.anatomy.side import from_canonical, to_canonical
from cuffwright.anatomy.solid import Block, Rod, Solid
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.identity import Side

Floats = NDArray[np.float64]
Labels = NDArray[np.uint8]
TornShape = Literal["crescent", "U", "L"]

AIR, FAT, MUSCLE, TENDON, FLUID, CORTEX, MARROW, CARTILAGE, CUFF_MUSCLE = range(9)
"""Kinds of tissue."""

CENTRE = np.array([-150.0, -20.0, 0.0])
"""Numerical choice: head centre of a right shoulder in the invented patient, mm left, posterior, head."""

CARTILAGE_MM = 1.5
"""Numerical choice: thickness of the drawn cartilage, mm."""

CORTEX_MM = 1.2
"""Numerical choice: thickness of the drawn cortex of head, tuberosity and scapula, mm."""

SHAFT_RADIUS = 0.5
"""Numerical choice: outer radius of the drawn shaft, in head radii."""

SHAFT_CORTEX = 0.3
"""Numerical choice: part of the shaft's radius that is cortex."""

DEEP_MM = 14.0
"""Numerical choice: how deep below the tuberosity's surface the drawn bone reaches (mm); head and shaft follow."""

TENDON_END = 0.85
"""Numerical choice: part of the way over the cartilage, from margin to its middle, at which tendon becomes muscle."""

SKIN_MM = 35.0
"""Numerical choice: how far the drawn soft tissue reaches beyond the head, mm; fat in its outer third."""

FOSSA_MM = (15.0, 12.0)
"""Numerical choice: half axes of the drawn fossa, forward and up, mm."""

FOSSA_Z = (-65.0, -12.0)
"""Numerical choice: from where to where the drawn fossa runs, along the glenoid's normal, mm."""


@dataclass(frozen=True)
class InventedTear:
    """A tear on the chart: front and back (u, mm of arc), greatest retraction from the lateral edge (mm of arc), shape,
    thickness of the tendon (mm). A crescent has drawn back evenly, a U most in its middle, an L most in front, each
    with a round outline; at its ends it has drawn back by the part ``blunt``, since it is torn off over its whole width
    (0: pointed).
    """

    front: float
    back: float
    retraction: float
    shape: TornShape = "crescent"
    thickness: float = 5.0
    blunt: float = 0.5

    def far(self, u: Floats) -> Floats:
        """How far the edge has drawn back at ``u`` (mm of arc), 0 outside the tear."""
        share = (u - self.front) / (self.back - self.front)
        drawn = {"crescent": np.ones_like(share), "U": 1 - (2 * share - 1) ** 2, "L": 1 - share**2}[self.shape]
        far = self.retraction * (self.blunt + (1 - self.blunt) * drawn)
        return np.where((share >= 0) & (share <= 1), far, 0.0)


@dataclass(frozen=True, eq=False)
class InventedBody:
    """A shoulder of the canonical right side with a tear, shown on ``side``; muscle by the share of the fossa it fills
    and the share of fat in it.
    """

    shoulder: Shoulder
    tear: InventedTear
    side: Side = "right"
    muscle_ratio: float = 0.6
    muscle_fat: float = 0.15

    @property
    def humerus(self) -> HumerusShape:
        """The humerus."""
        return self.shoulder.humerus

    def to_patient(self, body: Floats) -> Floats:
        """Patient points (..., 3) of points in the body's axes (forward, up, lateral)."""
        lps = CENTRE + np.stack([-body[..., 2], -body[..., 0], body[..., 1]], axis=-1)
        return from_canonical(lps, self.side, "patient")

    def from_patient(self, points: Floats) -> Floats:
        """Points (..., 3) in the body's axes of patient points: the inverse of :meth:`to_patient`."""
        away = to_canonical(points, self.side, "patient") - CENTRE
        return np.stack([-away[..., 1], away[..., 2], -away[..., 0]], axis=-1)

    def direction(self, body: Floats) -> Floats:
        """A direction of the body's axes in the patient."""
        return self.to_patient(body) - self.to_patient(np.zeros(3))

    def scapula(self, body: Floats) -> Floats:
        """Scapula points (..., 3) of points in the body's axes."""
        return np.asarray(self.shoulder.head + body @ self.shoulder.body.T)

    def of_scapula(self, points: Floats) -> Floats:
        """Points in the body's axes of scapula points: the inverse of :meth:`scapula`."""
        return np.asarray((points - self.shoulder.head) @ self.shoulder.body)

    def tissue(self, body: Floats) -> Labels:
        """The tissue (n,) at points (n, 3) in the body's axes; the later named wins."""
        radius = np.linalg.norm(body, axis=-1)
        reach = self.humerus.head_radius + SKIN_MM
        found = np.full(len(body), MUSCLE, np.uint8)
        found[(radius > reach - SKIN_MM / 3) & (body[:, 2] > 0)] = FAT
        found[(radius > reach) & (body[:, 2] > 0)] = AIR
        self._scapula_tissue(body, found)
        self._humerus_tissue(body, radius, found)
        return found

    def _scapula_tissue(self, body: Floats, found: Labels) -> None:
        points = self.scapula(body)
        x, y = self.fossa(points)
        z = points[:, 2]
        along = (z > FOSSA_Z[0]) & (z < FOSSA_Z[1])
        found[along & (np.hypot(x, y) < 1.15)] = CORTEX
        found[along & (np.hypot(x, y) < 1)] = FAT
        found[along & (np.hypot(x, y) < np.sqrt(self.muscle_ratio))] = CUFF_MUSCLE
        for solid in self.shoulder.solids:
            found[holds(solid, points, 0.0)] = CORTEX
            found[holds(solid, points, -CORTEX_MM)] = MARROW

    def fossa(self, points: Floats) -> tuple[Floats, Floats]:
        """Place of scapula points in the fossa's ellipse, forward and up, 1 on its edge."""
        rod = next(solid for solid in self.shoulder.solids if isinstance(solid, Rod) and solid.name.startswith("spine"))
        way = rod.end - rod.start
        share = np.clip((points[:, 2] - rod.start[2]) / way[2], 0, 1)
        spine = rod.start + share[:, None] * way
        ahead, above = FOSSA_MM
        centre_x = spine[:, 0] + rod.radius + ahead * 1.15
        centre_y = spine[:, 1] - above / 3
        return (points[:, 0] - centre_x) / ahead, (points[:, 1] - centre_y) / above

    @cached_property
    def tendon_medial(self) -> float:
        """v (mm, below 0) at which the drawn tendon becomes muscle."""
        return -TENDON_END * self.humerus.head_radius * self.humerus.half_arc

    def base(self, v: Floats) -> Floats:
        """Height of the tendon's joint side over the chart's surface at ``v`` (mm): it rises onto the cartilage."""
        return CARTILAGE_MM * np.clip(-v / (2 * CARTILAGE_MM), 0, 1)

    def _around_the_chart(self, body: Floats, radius: Floats, found: Labels) -> NDArray[np.bool_]:
        """Tendon, tear and cartilage, written into ``found``; and which points lie in the tuberosity's bone."""
        head, reach = self.humerus.head_radius, self.humerus.beyond_sphere + 2 * self.tear.thickness
        over = (radius < head + reach) & (radius > head)
        wall = (body[:, 1] < head) & (body[:, 1] > -2 * head) & (body[:, 2] > 0) & (radius < 2 * head)
        near = np.flatnonzero(over | (wall & (radius > head / 2)))
        chart, tear = self.shoulder.chart, self.tear
        u, v, z = chart.to_chart(body[near]).T
        known = np.nan_to_num(u)
        edge, base = chart.edge(known), self.base(v)
        found[near[(z >= 0) & (z < CARTILAGE_MM) & (v < 0)]] = CARTILAGE
        sheet = (z >= base) & (z < base + tear.thickness) & (u >= 0) & (u <= chart.back) & (v <= edge)
        found[near[sheet & (v >= self.tendon_medial)]] = TENDON
        found[near[sheet & (v < self.tendon_medial)]] = CUFF_MUSCLE
        found[near[sheet & (u >= tear.front) & (u <= tear.back) & (v > edge - tear.far(u))]] = FLUID
        on = (u >= chart.groove) & (u <= chart.back) & (v >= 0) & (z > -DEEP_MM) & (z < 0)
        on &= v < chart.wall_bottom(np.clip(known, chart.groove, chart.back))
        found[near[on]] = CORTEX
        tuberosity = np.zeros(len(body), np.bool_)
        tuberosity[near[on & (z < -CORTEX_MM)]] = True
        return tuberosity

    def _humerus_tissue(self, body: Floats, radius: Floats, found: Labels) -> None:
        inner = self._around_the_chart(body, radius, found)
        head, (ahead, _, aside) = self.humerus.head_radius, self.humerus.shaft_point
        away = np.hypot(body[:, 0] - ahead, body[:, 2] - aside)
        shaft = SHAFT_RADIUS * head * (1 + np.clip(1 + body[:, 1] / (2 * head), 0, 1) / 2)
        below = body[:, 1] < -head / 4
        found[((radius < head) | (below & (away < shaft))) & ~inner] = CORTEX
        inner |= (radius < head - CORTEX_MM) | (below & (away < shaft * (1 - SHAFT_CORTEX)))
        found[inner] = MARROW


def holds(solid: Solid, points: Floats, grown: float) -> NDArray[np.bool_]:
    """Whether points (n, 3) lie in a bone grown (or, below 0, shrunk) by ``grown`` mm."""
    inside = np.zeros(len(points), np.bool_)
    if isinstance(solid, Block):
        left = np.arange(len(points))
        for normal, offset in zip(solid.normals, solid.offsets, strict=True):
            left = left[points[left] @ normal <= offset + grown]
        inside[left] = True
    elif isinstance(solid, Rod):
        way = solid.end - solid.start
        share = np.clip((points - solid.start) @ way / (way @ way), 0, 1)
        inside = ((points - solid.start - share[:, None] * way) ** 2).sum(axis=1) < (solid.radius + grown) ** 2
    return inside


def mean_shoulder(book: FactBook) -> Shoulder:
    """The shoulder of mean measures."""
    facts = Citing(book)
    forms, base = ShoulderForms.from_facts(facts), HumerusShape.from_facts(facts)
    return build_shoulder(ShoulderMeasures.from_vector(Population.from_facts(facts).mean), forms, base)


def random_shoulder(book: FactBook, rng: np.random.Generator) -> Shoulder:
    """A shoulder drawn from the published series; draws whose measures contradict each other are drawn again."""
    facts = Citing(book)
    forms, base = ShoulderForms.from_facts(facts), HumerusShape.from_facts(facts)
    population = Population.from_facts(facts)
    while True:
        try:
            shoulder = build_shoulder(population.draw(rng), forms, base)
            shoulder.chart.edge(np.array([0.0, 1.0]))
            shoulder.chart.to_humerus(0.0, 0.0)
        except CaseError:
            continue
        return shoulder
