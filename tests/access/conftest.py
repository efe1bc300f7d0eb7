"""A mean shoulder, the example bone's shoulder, and one case laid out and ready."""

from dataclasses import replace

import pytest

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import Population, ShoulderMeasures
from cuffwright.anatomy.shoulder import Shoulder, ShoulderForms, build_shoulder
from cuffwright.case.fact import Citing
from cuffwright.case.identity import Identity
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.evidence.book import load_book

EXAMPLE = {
    "head_radius": 23.1,
    "glenoid_height": 36.0,
    "glenoid_width": 27.4,
    "joint_gap": 7.8,
    "joint_rise": 7.5,
    "shoulder_angle_degrees": 27.7,
    "acromion_distance": 5.9,
    "lateral_angle_degrees": 91.4,
    "acromion_length": 46.1,
    "acromion_width": 21.3,
    "acromion_thickness": 6.1,
    "coracoid_forward": 37.0,
    "coracoid_up": 23.1,
    "coracoid_lateral": 8.3,
}
"""Measured on the example bone; the shoulder angle counts from the glenoid plane (25.7 from its rims, 2.0 apart)."""


def sheet_of(side: str = "right", width: float = 20.0, **tear) -> CaseSheet:
    """A case with a tear of that AP width (mm)."""
    thick, front = Measurement(5.0, 0.5, "typed"), Measurement(4.0, 1.0, "typed")
    torn = Tear(Measurement(width, 1.0, "typed"), thickness_mm=thick, front_mm=front, **tear)
    return CaseSheet(Identity("P-1", side), torn)


@pytest.fixture(scope="session")
def book() -> Citing:
    """The packaged rows."""
    return Citing(load_book())


@pytest.fixture(scope="session")
def people(book) -> Population:
    """The published population, both sexes."""
    return Population.from_facts(book)


@pytest.fixture(scope="session")
def forms(book) -> ShoulderForms:
    """The shared forms."""
    return ShoulderForms.from_facts(book)


@pytest.fixture(scope="session")
def base(book) -> HumerusShape:
    """The mean humerus."""
    return HumerusShape.from_facts(book)


@pytest.fixture(scope="session")
def mean(people, forms, base) -> Shoulder:
    """The mean shoulder."""
    return build_shoulder(ShoulderMeasures.from_vector(people.mean), forms, base)


@pytest.fixture(scope="session")
def example(people, forms, base) -> Shoulder:
    """The shoulder of the example bone, from its own measures."""
    return build_shoulder(replace(ShoulderMeasures.from_vector(people.mean), **EXAMPLE), forms, base)
