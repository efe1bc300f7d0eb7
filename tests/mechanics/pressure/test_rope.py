"""The string on its bed: closed forms on springs, balance of forces, lift-off of the rope."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.pressure.rope import line_load
from cuffwright.mechanics.pressure.span import Span, cut
from tests.mechanics.pressure.setup import FILM_GRID, SHELF, THREE_GRID, film_bridge, layer, rope

pytestmark = pytest.mark.law
TENSION, BED = 20.0, 5.0
REACH = math.sqrt(TENSION / BED)


def on_springs(length, start_factor, end_factor, spacing, curvature=0.0):
    """A straight rope on independent springs of BED N/mm2; the closed forms are those of a string on Winkler bed."""
    span = Span("a", "bridge", (0.0, 0.0), (length, 0.0), TENSION, start_factor, end_factor, curvature, 0.5)
    nodes = cut([span], spacing)
    share = np.gradient(nodes.along)
    share[[0, -1]] /= 2
    return line_load([span], nodes, np.diag(1 / (BED * share)))


@pytest.mark.req("REQ-031")
@pytest.mark.parametrize("degrees, sunk", [(10, 0.3486), (45, 1.5307)])
def test_end_sinks_as_the_closed_form_says(degrees, sunk):
    """Semi-infinite string pulled down at its end: w0 = 2 lambda sin(theta/2), within 0.5 % at 0.25 mm."""
    assert 2 * REACH * math.sin(math.radians(degrees) / 2) == pytest.approx(sunk, abs=6e-5)
    load = on_springs(40.0, math.sin(math.radians(degrees)), 0.0, 0.25)
    assert load.indentation[0] == pytest.approx(sunk, rel=5e-3)


def test_steep_end_approaches_the_closed_form():
    """A leg going straight down sinks 2.828 mm in the closed form; the string at 0.25 mm reaches 2.55 (known)."""
    assert on_springs(40.0, 1.0, 0.0, 0.25).indentation[0] == pytest.approx(2.55, abs=0.02)
    assert on_springs(20.0, 1.0, 0.0, 0.04).indentation[0] == pytest.approx(2 * REACH * math.sin(math.pi / 4), rel=0.05)


def test_small_pull_sinks_linearly():
    """Small end force P: w0 = P / sqrt(T k), falling by 1/e within lambda."""
    load = on_springs(40.0, 1e-3, 0.0, 0.05)
    force = 1e-3 * TENSION
    at_reach = np.interp(REACH, load.nodes.along, load.indentation)
    assert load.indentation[0] * 2 / force == pytest.approx(0.2000, rel=1e-3)
    assert at_reach * 2 / force == pytest.approx(0.07358, rel=1e-3)


def test_finite_span_follows_the_closed_form():
    """Ends pushed 1 mm: the middle sinks 1/cosh(L/2 lambda) = 0.1631 mm and the pushes are 19.73 N together."""
    pull = 1e-4 * TENSION / REACH * math.tanh(10 / 2 / REACH) / TENSION
    load = on_springs(10.0, pull, pull, 0.05)
    scale = 1 / load.indentation[0]
    assert load.indentation[100] * scale == pytest.approx(0.1631, abs=2e-4)
    assert load.force.sum() * scale == pytest.approx(19.73, rel=1e-3)


def test_halving_the_spacing_quarters_the_error():
    """The end indentation converges with the square of the node spacing."""
    exact = 2 * REACH * math.sin(math.radians(10) / 2)
    spacing = [1.0, 0.5, 0.25]
    sine = math.sin(math.radians(10))
    errors = [abs(on_springs(40.0, sine, 0.0, h).indentation[0] - exact) for h in spacing]
    assert np.polyfit(np.log(spacing), np.log(errors), 1)[0] == pytest.approx(2.0, abs=0.2)


def test_curved_footprint_is_pressed_evenly():
    """A rope laid over a curve presses T kappa per length, so far from its ends it sinks T kappa / k."""
    load = on_springs(60.0, 0.0, 0.0, 0.5, curvature=1 / 25)
    assert load.indentation[60] == pytest.approx(TENSION / 25 / BED, rel=1e-4)
    assert load.force.sum() == pytest.approx(TENSION * 60 / 25, rel=1e-9)


def solved(spans, grid, spacing=0.5):
    bed = SHELF.bed_of(spans, grid, layer(), spacing, True)
    return line_load(spans, bed.nodes, bed.soft)


def test_rope_that_would_pull_lifts_off():
    """A slack rope crossing the trough of a tight one leaves the tendon there: force and gap 0 or more, never both."""
    tight = rope((10.0, -4.0), (10.0, 11.0), 12.0, 1.0, 1.0)
    slack = rope((1.0, 3.0), (19.0, 3.0), 0.3, 0.1, 0.1)
    load = solved([slack, tight], FILM_GRID)
    inner = ~load.nodes.attached
    middle = (load.nodes.span == 0) & (np.abs(load.nodes.u - 10) < 0.6)
    assert not load.touching[middle].any()
    assert load.force[inner].min() >= -1e-4
    assert load.gap.min() >= -0.01
    assert np.abs(load.force * load.gap)[inner].max() < 1e-4
    assert load.gap[middle].max() > 0.1


def test_rope_over_a_hollow_spans_it_straight():
    """Over a concave footprint the rope touches only at its ends and clears the hollow by kappa L^2 / 8 (chord)."""
    load = solved([rope((2.0, 1.0), (18.0, 1.0), 2.0, 0.3, 0.3, curvature=-1 / 20)], FILM_GRID)
    middle = load.nodes.u.size // 2
    assert load.touching.sum() == 2
    sunk = (load.indentation[0] + load.indentation[-1]) / 2
    assert load.gap[middle] == pytest.approx(16**2 / 8 / 20 + load.indentation[middle] - sunk, rel=1e-6)


def test_rope_over_a_hump_touches_all_along():
    """Over a convex footprint a single rope lifts nowhere more than 1 mm from its ends."""
    load = solved([rope((2.0, 1.0), (18.0, 1.0), 4.0, 0.3, 0.3, curvature=1 / 25)], FILM_GRID)
    assert load.touching[(load.nodes.along > 1) & (load.nodes.along < 15)].all()


points = st.tuples(st.floats(1, 15), st.floats(-5, 9.5))
shares = st.floats(0, 1)
courses = st.tuples(points, points, st.floats(0.1, 6), shares, shares, st.sampled_from([0.0, 1 / 30, -1 / 60]))


@pytest.mark.req("REQ-029")
@settings(max_examples=40)
@given(st.lists(courses, min_size=1, max_size=6))
def test_ropes_pass_on_exactly_what_their_ends_pull(raw):
    """Force on the tendon = sum of T (start + end factor + kappa length): vertical balance, whatever lifts off.

    Ropes that lift clear the tendon to a hundredth of a millimetre and no node between the ends pulls.
    """
    spans = [rope(a, b, t, s, e, k) for a, b, t, s, e, k in raw if math.dist(a, b) > 0.5]
    if spans:
        load = solved(spans, THREE_GRID)
        pulled = sum(s.tension * (s.start_factor + s.end_factor + s.curvature * s.length) for s in spans)
        assert load.force.sum() == pytest.approx(pulled, abs=1e-3)
        assert load.force[~load.nodes.attached].min(initial=0.0) >= -1e-4
        assert load.gap.min() >= -0.011


def test_rope_is_where_the_bed_lets_it_be():
    """Every touching node of a bridging repair satisfies f = T (sin in - sin out) at the indentation M f."""
    spans = film_bridge(4)
    load = solved(spans, FILM_GRID)
    for i, span in enumerate(spans):
        on = (load.nodes.span == i) & load.touching
        w, s = load.indentation[on], load.nodes.along[on]
        sine = np.diff(w) / np.hypot(np.diff(w), np.diff(s))
        pull = span.tension * np.concatenate([[span.start_factor], -sine]) + span.tension * np.concatenate(
            [sine, [span.end_factor]]
        )
        assert load.force[on] == pytest.approx(pull, abs=1e-4)


@pytest.mark.parametrize("changed", [{"end": (1.0, 1.0)}, {"tension": -1.0}, {"start_factor": 1.5}, {"spread": 0.0}])
def test_impossible_span_is_refused(changed):
    """A span without length, with a pulling tension, a leg steeper than straight down, or no width is refused."""
    given_span = {"start": (1.0, 1.0), "end": (5.0, 1.0), "tension": 1.0, "start_factor": 1.0, "spread": 0.5}
    whole = {"name": "a", "kind": "bridge", "end_factor": 1.0, "curvature": 0.0, **given_span, **changed}
    with pytest.raises(CaseError, match="limb a"):
        Span(**whole)
