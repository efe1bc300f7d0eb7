"""A layout's stitches as spans on the sheet."""

import math

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.footprint import Footprint
from cuffwright.mechanics.pressure.stitches import EdgeExit, spans_of
from tests.mechanics.pressure.setup import PARAMETERS, mapped

pytestmark = pytest.mark.law
STRIP = TendonStrip(front=2.0, width=20.0, edge=12.0, thickness=5.0)
EXIT = EdgeExit(65.0, 0.01)
LAYOUT = Layout(
    "invented",
    (Anchor("1", "medial", 7.0, 1.0, 0.0, "plain"), Anchor("L1", "lateral", 9.0, 15.0, -8.0, "plain")),
    (Hole("1aF", 5.0, 1.0), Hole("1aB", 9.5, 1.0), Hole("L1aF", 12.0, 6.0)),
    (
        Stitch("mattress", "1", ("1aF", "1aB"), 0),
        Stitch("bridge", "1", ("1aF",), 1, True, "L1"),
        Stitch("bridge", "1", ("1aB",), 1, False, "L1"),
        Stitch("simple", "L1", ("L1aF",), 0),
    ),
)
PULL = {"1aF-1aB": 15.0, "1aF>L1": 20.0, "1aB>L1": 20.0, "L1aF": 15.0}


def test_each_stitch_lies_where_it_should():
    """Mattress hole to hole, simple hole to edge, bridge to the edge on the line to its anchor, in sheet mm."""
    mattress, knotted, sliding, simple = spans_of(LAYOUT, STRIP, PULL, EXIT, PARAMETERS)
    assert (mattress.start, mattress.end) == ((3.0, 1.0), (7.5, 1.0))
    assert (simple.start, simple.end) == ((10.0, 6.0), (10.0, 12.0))
    assert knotted.end == pytest.approx((3.0 + 4.0 * 11 / 14, 12.0))
    assert sliding.end == pytest.approx((7.5 - 0.5 * 11 / 14, 12.0))


def test_ends_and_tensions_follow_the_rows():
    """A tied stitch pulls both ends straight down, a knotted limb its start hardly, a sliding one fully."""
    mattress, knotted, sliding, simple = spans_of(LAYOUT, STRIP, PULL, EXIT, PARAMETERS)
    for tied in (mattress, simple):
        assert (tied.start_factor, tied.end_factor, tied.tension) == (1.0, 1.0, 15.0 * PARAMETERS.scale_knot)
    assert knotted.tension == 20.0 * PARAMETERS.scale_limb
    assert (knotted.start_factor, sliding.start_factor) == (PARAMETERS.start_knotted, PARAMETERS.start_sliding)
    assert knotted.end_factor == pytest.approx(math.sin(math.radians(65)))
    assert knotted.curvature == 0.01


def test_whole_layout_makes_a_map():
    """A layout goes through to a map whose force is the balance of its spans."""
    spans = spans_of(LAYOUT, STRIP, PULL, EXIT, PARAMETERS)
    got = mapped(spans, Grid.over(STRIP.width, STRIP.edge), Footprint.on_chart((2, 22), (0, 12), STRIP))
    pulled = sum(s.tension * (s.start_factor + s.end_factor + s.curvature * s.length) for s in spans)
    assert got.total_force == pytest.approx(pulled, rel=1e-4)


def test_limb_that_leaves_by_the_side_ends_there():
    """A limb towards an anchor far in front leaves the strip at its front border."""
    layout = LAYOUT.with_anchor(Anchor("L1", "lateral", -12.0, 15.0, -8.0, "plain"))
    end = spans_of(layout, STRIP, PULL, EXIT, PARAMETERS)[1].end
    assert end == pytest.approx((0.0, 1.0 + 14 * 3 / 17))


@pytest.mark.parametrize(
    "layout, pull, leaves, said",
    [
        (LAYOUT, {**PULL, "1aF>L1": float("nan")}, EXIT, "limb 1aF>L1 has a tension"),
        (LAYOUT, {"1aF-1aB": 15.0}, EXIT, "tension of stitch 1aF>L1 is missing"),
        (LAYOUT, PULL, {"1aF>L1": EXIT}, "limb 1aB>L1 leaves the edge is missing"),
        (LAYOUT.with_hole(Hole("1aF", 1.0, 1.0)), PULL, EXIT, "limb 1aF is not in the torn tendon"),
        (LAYOUT.with_anchor(Anchor("L1", "lateral", 9.0, 11.0, 0.0, "plain")), PULL, EXIT, "anchor L1 does not lie"),
    ],
)
def test_missing_or_impossible_input_is_named(layout, pull, leaves, said):
    """What is missing or contradicts itself is refused by name, never assumed."""
    with pytest.raises(CaseError, match=said):
        spans_of(layout, STRIP, pull, leaves, PARAMETERS)


def test_exit_beyond_straight_down_is_refused():
    """An exit angle lies between 0 and 90 degrees."""
    with pytest.raises(CaseError, match="degrees"):
        EdgeExit(120.0)
