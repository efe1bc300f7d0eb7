"""Shares, limits and the running chart against the worked examples of the clinical dossier (section h) and by hand."""

from math import comb, log, sqrt

import numpy as np
import pytest

from cuffwright.case.errors import CaseError
from cuffwright.outcome.practice.funnel import errors_above, exact_limit, exact_limits, normal_limits
from cuffwright.outcome.practice.running import differences, run_length, scores, shift_of, shifted, weight
from cuffwright.outcome.practice.share import bounds, wilson

RISKS = (0.10, 0.25, 0.15, 0.34, 0.05, 0.20)
TORN = (False, True, False, True, False, True)


def test_normal_limits_of_50_repairs_round_20_percent():
    """0.0891 to 0.3109 (1.96) and 0.0252 to 0.3748 (3.09), Stat Med 2005."""
    assert normal_limits(0.20, 50, 1.96) == pytest.approx((0.0891, 0.3109), abs=1e-4)
    assert normal_limits(0.20, 50, 3.09) == pytest.approx((0.0252, 0.3748), abs=1e-4)


def test_exact_limits_of_50_repairs_round_20_percent():
    """0.0844 to 0.3071 and 0.0348 to 0.3791 by interpolated counts, Stat Med 2005, appendix."""
    assert exact_limits(0.20, 50, 0.025) == pytest.approx((0.0844, 0.3071), abs=1e-4)
    assert exact_limits(0.20, 50, 0.001) == pytest.approx((0.0348, 0.3791), abs=1e-4)


@pytest.mark.parametrize(("of", "target", "quantile"), [(7, 0.3, 0.975), (30, 0.438, 0.025), (99, 0.17, 0.999)])
def test_an_exact_limit_is_its_formula_by_whole_numbers(of, target, quantile):
    """(r - a) / n with a = (F(r) - q) / (F(r) - F(r - 1)), worked out once more with exact binomials."""
    grown = np.cumsum([comb(of, k) * target**k * (1 - target) ** (of - k) for k in range(of + 1)])
    least = int(np.argmax(grown >= quantile))
    before = grown[least - 1] if least else 0.0
    wanted = (least - (grown[least] - quantile) / (grown[least] - before)) / of
    assert exact_limit(target, of, quantile) == pytest.approx(max(0.0, wanted), abs=1e-9)


def test_95_of_217_against_26_6_percent_lies_far_outside():
    """z 5.73; limits 0.2072 to 0.3248 and 0.1733 to 0.3587 (Acta Orthop 2017 against a pooled rate)."""
    assert errors_above(95 / 217, 217, 0.266) == pytest.approx(5.73, abs=5e-3)
    assert normal_limits(0.266, 217, 1.96) == pytest.approx((0.2072, 0.3248), abs=1e-4)
    assert normal_limits(0.266, 217, 3.09) == pytest.approx((0.1733, 0.3587), abs=1e-4)
    with pytest.raises(CaseError, match="has no limits"):
        errors_above(0.1, 10, 0.0)


def test_weights_at_a_risk_of_20_percent():
    """+0.5108 for a failure and -0.1823 for none, at twice the odds (Biostatistics 2000)."""
    assert weight(0.20, True, 2) == pytest.approx(0.5108, abs=1e-4) == pytest.approx(log(2 / 1.2), abs=1e-4)
    assert weight(0.20, False, 2) == pytest.approx(-0.1823, abs=1e-4)
    with pytest.raises(CaseError, match="cannot be"):
        weight(1.0, True, 2)


def test_the_chart_of_six_repairs():
    """0, 0.4700, 0.3302, 0.7307, 0.6819, 1.1928 (Biostatistics 2000); it starts anew where it was reviewed."""
    assert scores(RISKS, TORN, 2, frozenset()) == pytest.approx([0, 0.4700, 0.3302, 0.7307, 0.6819, 1.1928], abs=1e-4)
    anew = scores(RISKS, TORN, 2, frozenset({4}))
    assert anew[4:] == pytest.approx([0, log(2 / 1.2)])


def test_the_difference_of_six_repairs():
    """Expected minus seen: 0.10, -0.65, -0.50, -1.16, -1.11, -1.91 (Lancet 1997)."""
    assert differences(RISKS, TORN) == pytest.approx([0.10, -0.65, -0.50, -1.16, -1.11, -1.91])


@pytest.mark.parametrize(
    ("limit", "quiet", "doubled", "told"),
    [(2.5, 283, 38, (283, 38)), (3, 519, 48, (524, 48)), (3.5, 880, 57, (959, 59)), (4.5, 2618, 78, (2823, 80))],
)
def test_run_lengths_at_a_risk_of_20_percent(limit, quiet, doubled, told):
    """Repairs to a false alarm and until doubled odds are found, as counted in 30,000 to 100,000 simulated runs
    (283.5, 520.0, 881.9, 2617.9 and 38.0, 48.1, 57.3, 78.2). The dossier's own numbers rest on rounding every move
    down: at most 9 % longer."""
    assert run_length([0.2], 2, limit, 1) == pytest.approx(quiet, rel=2e-3)
    assert run_length([0.2], 2, limit, 2) == pytest.approx(doubled, rel=8e-3)
    for found, dossier in zip((quiet, doubled), told, strict=True):
        assert 0.91 < found / dossier < 1.01


def test_a_run_length_of_mixed_risks_is_that_of_simulated_practices():
    """Five risks in chance order, 4,000 simulated practices: within four standard errors of their mean."""
    chance, risks = np.random.default_rng(1), np.array([0.05, 0.10, 0.15, 0.25, 0.34])
    score, length, alive = np.zeros(4000), np.zeros(4000), np.ones(4000, bool)
    while alive.any():
        risk = chance.choice(risks, 4000)
        torn = chance.random(4000) < 2 * risk / (1 + risk)
        score = np.maximum(0, score + np.log(np.where(torn, 2, 1) / (1 + risk)))
        length += alive
        alive &= score < 3
    assert run_length(list(risks), 2, 3, 2) == pytest.approx(length.mean(), abs=4 * length.std() / sqrt(4000))


def test_a_shift_of_risks_expects_what_was_seen():
    """Log odds moved until the sum of risks is the number of failures; none or all failed: no shift."""
    shift = shift_of(RISKS, TORN)
    assert sum(shifted(risk, shift) for risk in RISKS) == pytest.approx(3)
    assert shifted(0.2, log(2)) == pytest.approx(1 / 3)
    assert shift_of(RISKS, [False] * 6) is None
    assert shift_of(RISKS, [True] * 6) is None


def test_bounds_of_100_repairs_with_20_lost_and_12_failed():
    """Best 12.0, of those seen 15.0, worst 32.0 percent; nobody seen gives no share of those seen."""
    found = bounds(12, 20, 100)
    assert (found.best, found.complete, found.worst) == pytest.approx((0.12, 0.15, 0.32))
    assert bounds(0, 3, 3).complete is None
    assert bounds(0, 0, 3).worst == 0
    with pytest.raises(CaseError, match="cannot be"):
        bounds(2, 2, 3)


def test_interval_of_9_of_50():
    """0.0977 to 0.3080 by Wilson's score; 0 of 10 begins at 0; nothing to count is refused."""
    found = wilson(9, 50, 1.96)
    assert (found.middle, found.low, found.high) == pytest.approx((0.18, 0.0977, 0.3080), abs=1e-4)
    assert wilson(0, 10, 1.96).low == 0
    with pytest.raises(CaseError, match="no share"):
        wilson(0, 0, 1.96)
