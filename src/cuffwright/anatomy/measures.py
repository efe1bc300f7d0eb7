"""The measures of one whole shoulder, and what people's shoulders measure: means, spreads, and what goes together."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.fact import Citing, Fact
from cuffwright.case.patient import Patient

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ShoulderMeasures:
    """One shoulder: lengths in mm, angles in degrees (named so).

    The scapula frame stands in the glenoid: origin its centre, X forward, Y up its long axis, Z lateral along its
    normal. ``joint_gap`` is bone to bone between head and glenoid, ``joint_rise`` how far the head centre stands
    above the glenoid centre. ``rest_*`` tell how the hanging body stands to the scapula frame. ``nerve_shift`` moves
    the axillary nerve away from (above 0) or towards the acromion against the mean for this arm.
    """

    head_radius: float
    neck_shaft_degrees: float
    retroversion_degrees: float
    medial_offset: float
    posterior_offset: float
    half_arc_degrees: float
    beyond_sphere: float
    tuberosity_degrees: float
    front_margin_degrees: float
    glenoid_height: float
    glenoid_width: float
    joint_gap: float
    joint_rise: float
    shoulder_angle_degrees: float
    acromion_distance: float
    lateral_angle_degrees: float
    acromion_tilt_degrees: float
    acromion_length: float
    acromion_width: float
    acromion_thickness: float
    coracoid_forward: float
    coracoid_up: float
    coracoid_lateral: float
    rest_protraction_degrees: float
    rest_face_degrees: float
    rest_tilt_degrees: float
    skin_acromion: float
    fat: float
    deltoid: float
    arm_length: float
    nerve_shift: float

    @classmethod
    def from_vector(cls, values: Floats) -> "ShoulderMeasures":
        """The measures in the order of the fields."""
        return cls(*(float(value) for value in values))

    @property
    def vector(self) -> Floats:
        """The measures in the order of the fields."""
        return np.array([getattr(self, name) for name in NAMES])


NAMES: tuple[str, ...] = tuple(entry.name for entry in fields(ShoulderMeasures))
"""The measures by name, in order."""

ROWS: dict[str, str] = {
    "head_radius": "humerus.head.radius",
    "neck_shaft_degrees": "humerus.neck_shaft_angle",
    "retroversion_degrees": "humerus.retroversion",
    "medial_offset": "humerus.offset.medial",
    "posterior_offset": "humerus.offset.posterior",
    "half_arc_degrees": "humerus.articular.half_arc",
    "beyond_sphere": "tuberosity.beyond_sphere",
    "tuberosity_degrees": "tuberosity.angle",
    "front_margin_degrees": "tuberosity.front_margin",
    "glenoid_height": "glenoid.height",
    "glenoid_width": "glenoid.width",
    "joint_gap": "joint.gap",
    "joint_rise": "joint.rise",
    "shoulder_angle_degrees": "acromion.shoulder_angle",
    "acromion_distance": "acromion.distance",
    "lateral_angle_degrees": "acromion.lateral_angle",
    "acromion_tilt_degrees": "acromion.tilt",
    "coracoid_forward": "coracoid.tip.forward",
    "coracoid_up": "coracoid.tip.up",
    "coracoid_lateral": "coracoid.tip.lateral",
    "rest_protraction_degrees": "rest.protraction",
    "rest_face_degrees": "rest.face",
    "rest_tilt_degrees": "rest.tilt",
    "skin_acromion": "skin.acromion",
    "fat": "skin.deltoid.fat",
    "deltoid": "skin.deltoid.muscle",
    "arm_length": "arm.length",
    "nerve_shift": "nerve.axillary.shift",
}
"""Which row gives mean and SD of which measure."""

BY_SEX: dict[str, str] = {
    "acromion_length": "acromion.length.",
    "acromion_width": "acromion.width.",
    "acromion_thickness": "acromion.thickness.",
}
"""Measures with one row for men and one for women: the family of rows."""

TOGETHER: tuple[tuple[str, str, str], ...] = (
    ("head_radius", "glenoid_height", "correlation.head.glenoid"),
    ("glenoid_height", "glenoid_width", "correlation.glenoid.height_width"),
    ("head_radius", "arm_length", "correlation.head.arm"),
    ("head_radius", "acromion_length", "correlation.head.acromion"),
    ("shoulder_angle_degrees", "lateral_angle_degrees", "correlation.shoulder_angle.lateral_angle"),
)
"""Pairs of measures that go together, and the row of their correlation; each follows the first through it only."""

PROPORTIONAL: tuple[tuple[str, str], ...] = (
    ("head_radius", "beyond_sphere"),
    ("head_radius", "medial_offset"),
    ("head_radius", "posterior_offset"),
)
"""Lengths that grow with another in proportion: their correlation follows from both means and spreads."""

LENGTHS = tuple(n for n in NAMES if not n.endswith("_degrees") and n not in {"joint_rise", "nerve_shift"})
"""Measures that must be above 0 in any shoulder, offsets of the head and the coracoid left out below."""

SIGNED = frozenset({"medial_offset", "posterior_offset", "coracoid_forward", "coracoid_up", "coracoid_lateral"})
"""Lengths that may lie on either side of 0."""


@dataclass(frozen=True)
class Population:
    """A normal distribution over shoulders: ``mean`` (n,) and ``covariance`` (n, n) in the order of NAMES."""

    mean: Floats
    covariance: Floats

    @classmethod
    def from_facts(cls, book: Citing, patient: Patient | None = None) -> "Population":
        """Shoulders of the published series; of one sex where the patient's is known.

        Raises
        ------
        EvidenceError
            When a row is missing.
        """
        sex = patient.sex if patient is not None else None
        means, spreads = _marginals(book, sex)
        together = np.eye(len(NAMES))
        links = [(NAMES.index(one), NAMES.index(other), book.number(key)) for one, other, key in TOGETHER]
        for one, other in PROPORTIONAL:
            i, j = NAMES.index(one), NAMES.index(other)
            links.append((i, j, float(means[j] / means[i] * spreads[i] / spreads[j])))
        for i, j, strength in links:
            link = strength * together[i]
            link[j] = 1
            together[j] = together[:, j] = link
        return cls(means, together * np.outer(spreads, spreads))

    def given(self, measured: Mapping[str, tuple[float, float]]) -> "Population":
        """The population once some measures are known, each by name with value and SD: weighted least squares."""
        if not measured:
            return self
        places = [NAMES.index(name) for name in measured]
        values, sds = (np.array([pair[n] for pair in measured.values()]) for n in (0, 1))
        shared = self.covariance[:, places]
        gain = np.linalg.solve(shared[places] + np.diag(sds**2), shared.T).T
        covariance = self.covariance - gain @ shared.T
        return Population(self.mean + gain @ (values - self.mean[places]), (covariance + covariance.T) / 2)

    @cached_property
    def _root(self) -> Floats:
        """A matrix that carries independent normal draws to these measures."""
        return np.asarray(np.linalg.cholesky(self.covariance))

    @property
    def spread(self) -> Floats:
        """Standard deviation of each measure."""
        return np.asarray(np.sqrt(np.diag(self.covariance)))

    def spreads(self) -> Mapping[str, float]:
        """Standard deviation by name."""
        return dict(zip(NAMES, self.spread.tolist(), strict=True))

    def draw(self, rng: np.random.Generator) -> ShoulderMeasures:
        """One shoulder at random; lengths that must be above 0 are drawn again where they are not."""
        positive = [NAMES.index(name) for name in LENGTHS if name not in SIGNED]
        while True:
            values = self.mean + self._root @ rng.normal(0.0, 1.0, len(self.mean))
            if bool(np.all(values[positive] > 0)):
                return ShoulderMeasures.from_vector(values)


def _marginals(book: Citing, sex: str | None) -> tuple[Floats, Floats]:
    means, spreads = [], []
    for name in NAMES:
        if name in BY_SEX:
            men, women = book.fact(BY_SEX[name] + "men"), book.fact(BY_SEX[name] + "women")
            mean, spread = _of_sex(men, women, sex)
        else:
            fact = book.fact(ROWS[name])
            mean, spread = fact.value, fact.sd or 0.0
        means.append(mean)
        spreads.append(spread)
    return np.array(means), np.array(spreads)


def _of_sex(men: Fact, women: Fact, sex: str | None) -> tuple[float, float]:
    """Mean and SD for one sex; for both together where it is not known."""
    known = {"male": men, "female": women}.get(sex or "")
    if known is not None:
        return known.value, known.sd or 0.0
    apart = (men.value - women.value) / 2
    within = ((men.sd or 0.0) ** 2 + (women.sd or 0.0) ** 2) / 2
    return (men.value + women.value) / 2, float(np.sqrt(within + apart**2))
