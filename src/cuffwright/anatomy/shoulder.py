"""One whole shoulder: humerus, scapula with its processes, skin, and how the arm hangs in it."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.acromion import Acromion, AcromionForm, place_acromion
from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.envelope import Envelope
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import ShoulderMeasures
from cuffwright.anatomy.nerves import NerveFacts
from cuffwright.anatomy.scapula import ScapulaForm, clavicle, coracoid, coracoid_tip, glenoid, rim_point, spine
from cuffwright.anatomy.solid import Solid
from cuffwright.anatomy.turning import FORWARD, LATERAL, UP, turn_about
from cuffwright.case.fact import Citing

Floats = NDArray[np.float64]
AcromionType = Literal["I", "II", "III", "IV"]


@dataclass(frozen=True)
class ShoulderForms:
    """What every shoulder shares, loaded once: outlines, nerve distances, bends of the acromion types, skin."""

    acromion: AcromionForm
    scapula: ScapulaForm
    nerves: NerveFacts
    bend_degrees: float
    cuff: float
    full_degrees: float

    @classmethod
    def from_facts(cls, book: Citing, acromion_type: AcromionType | None = None) -> "ShoulderForms":
        """The shared forms; an acromion of unknown type, or one arched upwards (IV), is taken as flat as the example.

        Raises
        ------
        EvidenceError
            When a row is missing.
        """
        curved = acromion_type in {"II", "III"}
        return cls(
            acromion=AcromionForm.from_facts(book),
            scapula=ScapulaForm.from_facts(book),
            nerves=NerveFacts.from_facts(book),
            bend_degrees=book.number(f"acromion.bend.{acromion_type}") if curved else 0.0,
            cuff=book.number("tendon.thickness"),
            full_degrees=book.number("skin.deltoid.full"),
        )


@dataclass(frozen=True, eq=False)
class Shoulder:
    """One shoulder of the canonical right side, scapula frame: origin in the glenoid, X forward, Y up, Z lateral."""

    measures: ShoulderMeasures
    forms: ShoulderForms
    humerus: HumerusShape

    @cached_property
    def chart(self) -> FootprintChart:
        """The footprint chart on this humerus."""
        return FootprintChart(self.humerus)

    @property
    def head(self) -> Floats:
        """The head centre with the joint at rest (3,)."""
        return np.array([0.0, self.measures.joint_rise, self.measures.head_radius + self.measures.joint_gap])

    @cached_property
    def body(self) -> Floats:
        """The hanging body's axes in the scapula frame, columns forward, up, lateral: also the humerus at rest."""
        m = self.measures
        tilt = turn_about(LATERAL, m.rest_tilt_degrees)
        face = turn_about(FORWARD, m.rest_face_degrees)
        return np.asarray(tilt @ face @ turn_about(UP, -m.rest_protraction_degrees))

    @cached_property
    def acromion(self) -> Acromion:
        """The acromion in its place."""
        return place_acromion(self.forms.acromion, self.measures, self.head, self.forms.bend_degrees)

    @cached_property
    def solids(self) -> tuple[Solid, ...]:
        """The bones beside the humerus that stand in an instrument's way."""
        m, form = self.measures, self.forms.scapula
        return (
            *self.acromion.blocks,
            clavicle(self.acromion, form, self.body),
            coracoid(m, form),
            spine(self.acromion, m, form),
            glenoid(m, form),
        )

    @cached_property
    def envelope(self) -> Envelope:
        """The skin."""
        m = self.measures
        radius = m.head_radius + m.beyond_sphere + m.deltoid + m.fat
        return Envelope(self.head, radius, m.skin_acromion, self.forms.full_degrees, self.body)

    def under_spine(self, lateral: float) -> float:
        """How high (mm) the underside of the spine of the scapula runs at this ``lateral`` place."""
        rod = spine(self.acromion, self.measures, self.forms.scapula)
        share = (lateral - rod.start[LATERAL]) / (rod.end[LATERAL] - rod.start[LATERAL])
        return float(rod.start[UP] + share * (rod.end[UP] - rod.start[UP]) - rod.radius)

    @property
    def coracoid(self) -> Floats:
        """The coracoid's tip (3,)."""
        return coracoid_tip(self.measures, self.forms.scapula)

    @cached_property
    def landmarks(self) -> dict[str, Floats]:
        """Points one can find on an image, by name, each (3,)."""
        rim = {f"glenoid {way}": rim_point(self.measures, way) for way in ("top", "bottom", "front", "back")}
        edge = {
            "acromion anterolateral corner": "anterolateral",
            "acromion lateral": "lateral",
            "acromion posterolateral corner": "posterolateral",
            "acromion tip": "tip",
        }
        corners = {name: self.acromion.corner(corner) for name, corner in edge.items()}
        return {**rim, **corners, "coracoid tip": self.coracoid, "head centre": self.head}

    @property
    def acromion_index(self) -> float:
        """Acromial index: lateral reach of acromion over that of humerus, both from the glenoid."""
        lateral = self.head[LATERAL] + self.measures.head_radius + self.measures.beyond_sphere
        return float(self.acromion.reach / lateral)


def build_shoulder(measures: ShoulderMeasures, forms: ShoulderForms, base: HumerusShape) -> Shoulder:
    """A shoulder of these measures; what they do not tell of the humerus is ``base``'s, lengths grown with the head.

    The footprint stays the one of ``base``, which the case may have measured.

    Raises
    ------
    CaseError
        When the measures contradict each other.
    """
    size = measures.head_radius / base.head_radius
    humerus = replace(
        base,
        head_radius=measures.head_radius,
        neck_shaft_degrees=measures.neck_shaft_degrees,
        retroversion_degrees=measures.retroversion_degrees,
        medial_offset=measures.medial_offset,
        posterior_offset=measures.posterior_offset,
        half_arc_degrees=measures.half_arc_degrees,
        beyond_sphere=measures.beyond_sphere,
        tuberosity_degrees=measures.tuberosity_degrees,
        front_margin_degrees=measures.front_margin_degrees,
        groove_degrees=base.groove_degrees + (measures.front_margin_degrees - base.front_margin_degrees),
        wall_height=base.wall_height * size,
        corner_radius=base.corner_radius * size,
    )
    return Shoulder(measures, forms, humerus)
