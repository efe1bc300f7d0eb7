"""Passive tension of a torn edge: closed forms, the published mean, shapes, remedies."""

from dataclasses import replace
from math import atan, degrees, erfc, log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.fact import Citing
from cuffwright.case.measurement import Measurement
from cuffwright.course.hold import lay, prepare
from cuffwright.course.reducing import Pull, edge_profile, pull_of, reduction, reliefs, tension
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.mechanics.reducibility import PassiveLaw

BOOK = load_book()
FACTS = Citing(BOOK)
CHRONIC = PassiveLaw.from_facts(FACTS, "chronic")
SHEET = demo_cases()["small_crescent"]


def torn(shape, limb=None):
    """A tear of a shape."""
    return replace(SHEET.tear, shape=shape, limb_side=limb)


def pulled(shape, far, width=25.0, **more):
    """The tension of a tear measured without error, in a shoulder like the mean."""
    return Pull((CHRONIC,), torn(shape), width, far, 0.0, 0.0, **more)


@pytest.mark.law
@pytest.mark.parametrize(("far", "abduction", "newtons"), [(20.0, 0.0, 28.5), (10.0, 0.0, 8.906), (20.0, 60.0, 6.854)])
def test_even_edge_is_the_column_formula(far, abduction, newtons):
    """Width x p0 exp(-k R phi) (exp(k r) - 1), 25 mm wide; newtons worked out by hand from the rows."""
    assert tension(pulled("crescent", far), abduction, 1).middle == pytest.approx(newtons, abs=0.06)


@pytest.mark.published
def test_drawn_tensions_have_the_published_mean_and_spread():
    """28.5 N, SD 23.1 over 132 repairs (Am J Sports Med 2016), paired with 20 mm; sampling error of 2,000 draws."""
    row = BOOK.fact("tension.operative")
    drawn = replace(pulled("crescent", 20.0), spread=row.sd / row.value).drawn(0.0, 3)
    assert drawn.mean() == pytest.approx(row.value, rel=0.06)
    assert drawn.std() == pytest.approx(row.sd, rel=0.15)


@pytest.mark.law
def test_share_above_the_retear_limit_is_the_lognormal_tail():
    """Mean 28.5 N, spread 0.81: P(F > 35 N) = 1 - Phi((ln(35 / 28.5) + s^2 / 2) / s) with s^2 = ln(1 + 0.81^2)."""
    sigma = sqrt(log(1 + 0.81**2))
    tail = 0.5 * erfc((log(35.0 / 28.5) + sigma**2 / 2) / sigma / sqrt(2))
    found = reduction(replace(pulled("crescent", 20.0), spread=0.81), 3)
    assert found.torn_at == 35.0
    assert found.over_high == pytest.approx(tail, abs=0.03)


@pytest.mark.law
def test_an_l_turns_down_and_a_u_does_not():
    """The straight line of an L is a turn by atan(r / w) and bends nothing; the cleft of a U bends too fast."""
    l_shaped = reduction(pulled("L", 20.0), 1)
    assert abs(l_shaped.turn_degrees) == pytest.approx(degrees(atan(20.0 / 25.0)), abs=0.05)
    assert l_shaped.bend == pytest.approx(0.0, abs=1e-6)
    u_shaped = reduction(pulled("U", 20.0), 1)
    assert u_shaped.verdict == "not-directly"
    assert u_shaped.bend == pytest.approx(2 * 20.0 / 25.0, abs=0.01)


@pytest.mark.law
def test_the_limb_of_an_l_says_which_end_hangs():
    """An L hangs in front unless its limb is said to lie behind; a reverse L the other way round."""
    assert edge_profile(torn("L"), 20.0, 10.0).far == (10.0, 0.0)
    assert edge_profile(torn("reverse L"), 20.0, 10.0).far == (0.0, 10.0)
    assert edge_profile(torn("L", "posterior"), 20.0, 10.0).far == (0.0, 10.0)


def test_a_release_frees_an_even_edge_and_a_cleft_needs_closing():
    """Release brings a far crescent under the limit; a U needs its cleft closed; one step less does not do."""
    far = pulled("massive contracted", 26.0)
    (release,) = reliefs(far, 20.0, 1)
    assert reduction(far, 1).verdict in {"caution", "high"}
    assert reduction(replace(far, nearer=release.needed), 1).verdict == "reducible"
    assert reduction(replace(far, nearer=release.needed - 0.5), 1).verdict != "reducible"
    cleft = pulled("U", 20.0)
    by_release, by_closing = reliefs(cleft, 19.0, 1)
    assert by_closing.needed is not None
    assert by_release.needed is None
    assert reduction(replace(cleft, closed=by_closing.needed), 1).verdict == "reducible"


def test_the_layout_counts_medialised_insertions_and_closed_clefts():
    """A medialised layout brings the edge nearer; margin convergence closes the cleft: both lower the tension."""
    sheet = replace(SHEET, tear=replace(SHEET.tear, width_mm=Measurement(20.0, 1.0, "typed", "")))
    prepared = prepare(sheet, BOOK)
    plain, medial = (pull_of(prepared, lay(prepared, name), FACTS) for name in ("double-row", "medialised"))
    assert plain.nearer == 0
    assert medial.nearer == pytest.approx(BOOK.fact("pattern.medialised.shift").value)
    assert tension(medial, 0.0, 1).middle < tension(plain, 0.0, 1).middle
    cleft = replace(sheet, tear=replace(sheet.tear, shape="U", retraction_mm=Measurement(25.0, 0.0, "typed", "")))
    prepared = prepare(cleft, BOOK)
    closed = pull_of(prepared, lay(prepared, "margin-convergence-u"), FACTS)
    assert closed.closed > 0
    assert tension(closed, 0.0, 1).middle < tension(replace(closed, closed=0.0), 0.0, 1).middle


def test_a_tension_measured_at_surgery_replaces_the_mean():
    """45 N measured over this retraction and width is the answer's middle, with the measurement's own spread."""
    tear = replace(
        SHEET.tear,
        retraction_mm=Measurement(15.0, 0.0, "probe", ""),
        operative_tension_newtons=Measurement(45.0, 4.5, "probe", "spring balance"),
    )
    prepared = prepare(replace(SHEET, tear=tear), BOOK)
    found = tension(pull_of(prepared, lay(prepared, "double-row"), FACTS), 0.0, 1)
    assert found.middle == pytest.approx(45.0, rel=0.02)
    assert found.high - found.low == pytest.approx(2 * 1.645 * 4.5, rel=0.1)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(["crescent", "U", "L", "massive contracted"]), st.floats(1, 40), st.floats(8, 45))
def test_more_retraction_never_pulls_less(shape, far, width):
    """Tension rises with retraction, falls with release, and is never negative."""
    one = pulled(shape, far, width)
    middle = tension(one, 0.0, 2).middle
    assert middle >= 0
    assert tension(replace(one, far=far + 2.0), 0.0, 2).middle >= middle
    assert tension(replace(one, nearer=2.0), 0.0, 2).middle <= middle
    assert np.all(one.drawn(0.0, 2) >= 0)
