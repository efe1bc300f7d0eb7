"""Intervals widened by the error of the model: closed forms, and never narrower."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.contact import Contact
from cuffwright.case.fact import Citing
from cuffwright.case.hold import ScenarioHold
from cuffwright.case.quantity import Interval
from cuffwright.course.doubt import Doubt, doubted, doubted_contact, widened, widened_scenario
from cuffwright.evidence.book import load_book

Z90 = 1.6448536269514722


def test_an_error_alone_gives_the_quantiles_of_its_lognormal():
    """A result without scatter: 90 % between value exp(-1.645 e) and value exp(1.645 e)."""
    found = doubted(100.0, "mm2", 0.4, 0.9)
    assert found.low == pytest.approx(100.0 * math.exp(-Z90 * 0.4))
    assert found.high == pytest.approx(100.0 * math.exp(Z90 * 0.4))


def test_a_share_never_exceeds_the_whole():
    """A contact area share of 0.9 with an error of 0.6 ends at 1."""
    assert doubted(0.9, "-", 0.6, 0.9, most=1.0).high == 1.0


def test_spread_and_error_add_as_squares():
    """3 mm of spread below and an error that reaches 4 mm below make 5 mm; above, 5 mm and 12 mm make 13 mm."""
    error = -math.log1p(-4.0 / 10.0) / Z90
    assert widened(Interval(10.0, 7.0, 10.0, "mm", 0.9), error).low == pytest.approx(5.0)
    assert widened(Interval(10.0, 10.0, 15.0, "mm", 0.9), math.log1p(12.0 / 10.0) / Z90).high == pytest.approx(23.0)


@settings(max_examples=50)
@given(
    middle=st.floats(0.1, 500),
    down=st.floats(0, 1),
    up=st.floats(0, 3),
    error=st.floats(0, 1.5),
)
def test_an_interval_never_narrows_nor_turns_negative(middle, down, up, error):
    """The widened interval holds the first one, keeps its middle, and stays at or above 0 when it was."""
    first = Interval(middle, middle * (1 - down), middle * (1 + up), "mm", 0.9)
    found = widened(first, error)
    assert found.low <= first.low + 1e-9
    assert found.high >= first.high - 1e-9
    assert found.middle == first.middle
    assert found.low >= 0
    wider = widened(first, error + 0.1)
    assert wider.high > found.high


def test_no_error_changes_nothing():
    """Error 0 gives the interval back."""
    first = Interval(2.0, 1.5, 3.0, "mm", 0.9)
    same = widened(first, 0.0)
    assert (same.low, same.high) == (pytest.approx(1.5), pytest.approx(3.0))


def test_errors_come_from_rows_and_contact_of_any_laboratory_is_the_widest():
    """Every kind has its row; a strange laboratory doubts more than a like one."""
    doubt = Doubt.from_facts(Citing(load_book()))
    assert all(value > 0 for value in vars(doubt).values())
    assert doubt.laboratory > doubt.contact


SCENARIO = ScenarioHold(
    tissue="fair",
    bone="fair",
    ultimate=Interval(200.0, 100.0, 300.0, "N", 0.9),
    ultimate_contested=None,
    ultimate_no_scatter=220.0,
    gap=Interval(2.0, 1.6, 2.6, "mm", 0.9),
    gap_load=100.0,
    reached_share=1.0,
    stiffness=None,
    weakest="the hole of limb 1aF",
    members=(),
    failure_shares=(),
    gap_curve=(),
    settled=True,
)


def test_a_scenario_is_widened_in_gap_and_stiffness_alone():
    """The gap takes the model's error, a stiffness that is not known stays unknown, the ultimate is left alone."""
    doubt = Doubt(ultimate=0.4, gap=0.3, stiffness=0.2, contact=0.5, laboratory=1.0)
    found = widened_scenario(SCENARIO, doubt)
    down = math.hypot(0.4, 2.0 * (1 - math.exp(-Z90 * 0.3)))
    assert found.gap.low == pytest.approx(2.0 - down, abs=0.01)
    assert found.gap.high > SCENARIO.gap.high
    assert found.stiffness is None
    assert found.ultimate == SCENARIO.ultimate


def test_contact_area_gets_an_interval_within_the_whole():
    """A pressed share of 0.8 with an error of 0.5: from 0.35 to no more than 1."""
    contact = Contact(30.0, 0.2, 0.4, (0.18,), (0.8,), 0.18, 0.8, 160.0, 0.0, 0.0)
    found = doubted_contact(contact, Doubt(0.4, 0.3, 0.2, 0.5, 1.0), 0.9).area_interval
    assert (found.low, found.high) == (pytest.approx(0.8 * math.exp(-Z90 * 0.5), abs=1e-3), 1.0)


def test_a_poorly_measured_tear_joins_the_area_as_squares():
    """A share of 0.4 with an error of 0.5 and an SD of 0.1 from the width: distances add as squares, by hand."""
    contact = Contact(30.0, 0.2, 0.4, (0.18,), (0.4,), 0.18, 0.4, 160.0, 0.0, 0.0)
    found = doubted_contact(contact, Doubt(0.4, 0.3, 0.2, 0.5, 1.0), 0.9, 0.1)
    down = math.hypot(0.4 * (1 - math.exp(-Z90 * 0.5)), Z90 * 0.1)
    assert found.area_interval.low == pytest.approx(0.4 - down, abs=1e-3)
    assert found.area_sd == 0.1
    far = doubted_contact(contact, Doubt(0.4, 0.3, 0.2, 0.5, 1.0), 0.9, 0.6)
    assert (far.area_interval.low, far.area_interval.high) == (0.0, 1.0)
