"""The mean right humerus from the packaged rows, and a search for shapes people really have."""

from dataclasses import replace

import pytest
from hypothesis import strategies as st

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book


@pytest.fixture(scope="session")
def book() -> Citing:
    """The packaged rows."""
    return Citing(load_book())


@pytest.fixture(scope="session")
def shape(book) -> HumerusShape:
    """The mean humerus."""
    return HumerusShape.from_facts(book)


@pytest.fixture(scope="session")
def chart(shape) -> FootprintChart:
    """The chart of the mean humerus."""
    return FootprintChart(shape)


@st.composite
def humeri(draw) -> HumerusShape:
    """Humeri within two standard deviations of the published means, size first."""
    book = Citing(load_book())

    def angle(key: str) -> float:
        fact = book.fact(key)
        return fact.value + draw(st.floats(-2, 2)) * fact.sd

    radius = book.fact("humerus.head.radius")
    base = HumerusShape.from_facts(book, draw(st.floats(radius.low, radius.high)))
    beyond = base.beyond_sphere + draw(st.floats(-2, 2))
    changed = {
        "neck_shaft_degrees": angle("humerus.neck_shaft_angle"),
        "retroversion_degrees": angle("humerus.retroversion"),
        "half_arc_degrees": angle("humerus.articular.half_arc"),
        "tuberosity_degrees": angle("tuberosity.angle"),
        "front_margin_degrees": angle("tuberosity.front_margin"),
        "beyond_sphere": beyond,
    }
    try:
        return replace(base, **changed)
    except CaseError:  # angles drawn apart may contradict each other, which the shape refuses
        return base
