"""The construction closes: margin, outer edge and strip fall where the published measures put them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.footprint import KEYS
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import CaseError, EvidenceError
from cuffwright.case.fact import Citing, FixedBook

from .conftest import humeri


@pytest.fixture(scope="module")
def closing(book) -> HumerusShape:
    """Head radius 23.4, neck-shaft 135, half-arc 76, tuberosity 4.3 beyond, tuberosity angle 66.5."""
    return replace(HumerusShape.from_facts(book, 23.4), beyond_sphere=4.3)


def _lateral_and_below(shape, point):
    return point @ shape.lateral, shape.head_radius - point[1]


def test_margin_and_outer_edge_in_the_head_plane(closing):
    """Hand calculation: margin 12 lateral, 3.4 below the head top; outer edge 24.6 lateral, 10.7 below."""
    chart = FootprintChart(closing)
    u = float(chart.strip.u(np.asarray(0.0)))
    assert _lateral_and_below(closing, chart.to_humerus(u, 0.0)) == pytest.approx((12.05, 3.34), abs=0.06)
    edge = chart.to_humerus(u, float(chart.corner(u)))
    assert _lateral_and_below(closing, edge) == pytest.approx((24.6, 10.7), abs=0.05)


def test_strip_in_the_head_plane(closing):
    """The straight strip is 14.6 wide at 30 degrees (hand calculation)."""
    chart = FootprintChart(closing)
    u = float(chart.strip.u(np.asarray(0.0)))
    run = chart.to_humerus(u, float(chart.corner(u))) - chart.to_humerus(u, 0.0)
    assert np.linalg.norm(run) == pytest.approx(14.6, abs=0.06)
    assert np.degrees(np.arctan2(-run[1], run @ closing.lateral)) == pytest.approx(30.4, abs=0.1)


@given(humeri())
@settings(max_examples=25)
def test_outer_edge_keeps_angle_and_height(shape):
    """On any bone the outer edge has the tuberosity angle asked for and lies that far outside the head sphere."""
    chart = FootprintChart(shape)
    lateral, below = shape.outer_edge
    assert np.degrees(np.arctan2(lateral, below)) == pytest.approx(shape.tuberosity_degrees)
    u = float(chart.strip.u(np.asarray(0.0)))
    reach = chart.strip.profile(np.asarray(0.0)).place(np.asarray(chart.strip.bone_breadth), np.asarray(0.0))
    if chart.corner(u) == pytest.approx(chart.strip.bone_breadth):
        assert np.hypot(*reach) - shape.head_radius == pytest.approx(shape.beyond_sphere, abs=1e-9)


@given(humeri())
@settings(max_examples=15)
def test_axes_are_right_handed_and_lean_as_asked(shape):
    """Head axis, its perpendicular and backwards are orthonormal; neck-shaft angle and retroversion read back."""
    head, upper, behind = shape.axes
    assert np.array([head, upper, behind]) @ np.array([head, upper, behind]).T == pytest.approx(np.eye(3), abs=1e-12)
    assert 180 - np.degrees(np.arccos(head[1])) == pytest.approx(shape.neck_shaft_degrees)
    assert np.degrees(np.arctan2(-head[0], -head[2])) == pytest.approx(shape.retroversion_degrees)
    assert head[2] < 0, "the cartilage faces medially"


def test_front_of_the_tuberosity_and_groove(shape, chart):
    """Seen down the shaft, the outer edge at u = 0 lies 11.5 degrees in front of the head plane, the groove 31.6."""
    for u, degrees in ((0.0, shape.front_margin_degrees), (chart.groove, shape.groove_degrees)):
        turn = chart.strip.turn(np.asarray(u))
        x, r = chart.strip.outer
        point = -x * shape.axes[0] + r * (np.cos(turn) * shape.axes[1] + np.sin(turn) * shape.axes[2])
        arm = point - shape.shaft_point
        assert np.degrees(np.arctan2(-arm @ shape.axes[2], arm @ shape.lateral)) == pytest.approx(degrees, abs=1e-6)


def test_size_scales_lengths_and_leaves_angles(book, chart):
    """A head one tenth larger is the same bone one tenth larger, point by point."""
    large = FootprintChart(HumerusShape.from_facts(book, chart.shape.head_radius * 1.1))
    u, v = np.meshgrid(np.linspace(-3, 36, 9), np.linspace(-5, 40, 10))
    assert large.to_humerus(1.1 * u, 1.1 * v) == pytest.approx(1.1 * chart.to_humerus(u, v), abs=1e-9)
    assert large.area([(0, 0), (22, 0), (22, 11)]) == pytest.approx(1.21 * chart.area([(0, 0), (20, 0), (20, 10)]))


@pytest.mark.parametrize("radius", [0.0, -24.0, float("nan")])
def test_impossible_head_is_refused(book, radius):
    """A head of no size is refused."""
    with pytest.raises(CaseError, match="head radius"):
        HumerusShape.from_facts(book, radius)


def test_impossible_angles_are_refused(shape):
    """A neck-shaft angle below 90, an outer edge above the cartilage, or one inside the head, is refused."""
    with pytest.raises(CaseError, match="neck-shaft"):
        replace(shape, neck_shaft_degrees=80.0)
    with pytest.raises(CaseError, match="outer edge"):
        replace(shape, tuberosity_degrees=89.0)
    with pytest.raises(CaseError, match="beyond the head"):
        replace(shape, beyond_sphere=-1.0)


def test_missing_row_is_named():
    """Without rows there is no bone, and the missing row is named."""
    with pytest.raises(EvidenceError, match=r"humerus\.head\.radius"):
        HumerusShape.from_facts(Citing(FixedBook({})))


def test_every_measure_carries_its_source(book):
    """All rows read for a humerus are remembered, and the unverified ones are known."""
    fresh = Citing(book.book)
    HumerusShape.from_facts(fresh)
    assert set(KEYS.values()) < set(fresh.used)
    assert len(fresh.used) == len(KEYS) + 12 + 6, "twelve measures of the bone, two of each facet"
    assert all(fact.source.citation for fact in fresh.used.values())
    assert "footprint.length" in {key for key, fact in fresh.used.items() if not fact.verified}
