"""The sums at the foot of the table, by hand."""

import math
from dataclasses import replace

import pytest

from cuffwright.course.proof.error import measured_errors
from cuffwright.course.proof.row import Proof, ProofRow

ROW = ProofRow(
    id="X1",
    source="invented",
    quantity="ultimate, invented",
    unit="N",
    published=100.0,
    low=80.0,
    high=120.0,
    computed=120.0,
    null_model=110.0,
    role="blind",
    passed=True,
    sd=10.0,
    contested=None,
    setup_low=None,
    setup_high=None,
    null_limbs=None,
    prototype=None,
    held=False,
    measure="ultimate",
    ratio=False,
    needs="",
    apart="",
    note="",
)


def table(*rows):
    return Proof(rows, 100, 1, "0", "edition")


def test_mean_squared_misfit_by_hand():
    """Two blind rows 2 and 4 SD off, null 1 and 3 SD off: 10 against 5 SDs squared; the seen row does not count."""
    other = replace(ROW, id="X2", computed=140.0, null_model=70.0)
    seen = replace(ROW, id="X3", role="seen", computed=1000.0)
    skill = next(s for s in table(ROW, other, seen).skills if s.name == "blind rows" and s.other == "null model")
    assert (skill.count, skill.ours, skill.theirs) == (2, pytest.approx(10.0), pytest.approx(5.0))


def test_rows_kept_apart_leave_the_second_sum():
    """A row on which like studies contradict each other counts in the first sum and not in the second."""
    apart = replace(ROW, id="X2", computed=200.0, apart="contradicted")
    skills = {(s.name, s.other): s for s in table(ROW, apart).skills}
    assert skills["blind rows", "null model"].ours == pytest.approx((4 + 100) / 2)
    assert skills["blind rows not kept apart", "null model"].ours == pytest.approx(4)


def test_a_row_that_is_not_computed_counts_nowhere_but_is_told():
    """It enters no sum, and the count of rows not computed shows it."""
    missing = replace(ROW, id="X2", computed=None, passed=None, needs="something")
    proof = table(missing)
    assert proof.skills == ()
    assert proof.counts["blind"] == (0, 0, 1)


def test_measured_error_by_hand():
    """Twice and half the published value: rms of ln is ln 2; calibrated rows and ratios leave it alone."""
    rows = [
        replace(ROW, computed=200.0),
        replace(ROW, id="X2", computed=50.0, role="seen"),
        replace(ROW, id="X3", computed=900.0, role="calibrated"),
        replace(ROW, id="X4", computed=900.0, ratio=True),
    ]
    (error,) = measured_errors(table(*rows))
    assert error.key == "model.error.ultimate"
    assert error.unfitted == pytest.approx(math.log(2))
    assert error.value == pytest.approx(math.log(2))
    assert error.rows == ("X1", "X2")


def test_the_larger_of_blind_and_unfitted_stands():
    """A lucky seen row does not narrow what the blind ones say."""
    rows = [replace(ROW, computed=200.0), replace(ROW, id="X2", computed=100.0, role="seen")]
    (error,) = measured_errors(table(*rows))
    assert error.unfitted < error.value == pytest.approx(math.log(2))
