"""Every pattern on every shape of tear: computed, or refused by name; never broken, never without a number."""

from dataclasses import replace

import pytest

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.sheet import Plan
from cuffwright.course.hold import hold, lay, prepare
from cuffwright.evidence.book import load_book
from cuffwright.repair.patterns import patterns
from tests.course.tear_grid import TEARS, cases, trials, tried
from tests.sampling import of

SAMPLE = of(211, 47)
"""Every so many trials one is run here; ``tools/long_patterns.py`` runs them all."""

DRAWS = 4
CASES = dict(cases())
FITTING = {
    "margin-convergence-u": "U",
    "margin-convergence-l": "L",
    "partial-repair": "massive",
    "completed-partial": "high-grade partial",
}


@pytest.mark.req("REQ-013")
def test_a_sample_of_patterns_and_tears_is_computed_or_refused_by_name() -> None:
    """Each answer is finite and ordered; each refusal names pattern and reason, or what the model cannot take."""
    book = load_book()
    for case, sheet, pattern in trials()[::SAMPLE]:
        result, reason = tried(sheet, book, pattern, DRAWS)
        assert result is not None or pattern in reason, f"{pattern} on {case}: {reason}"


@pytest.mark.parametrize("name", sorted(patterns()))
def test_every_pattern_holds_the_tear_it_is_meant_for(name: str) -> None:
    """On a usual footprint with good bone every pattern gives an answer for a tear of its kind."""
    sheet = CASES[f"{FITTING.get(name, 'crescent')}, right, large footprint, good"]
    result, reason = tried(sheet, load_book(), name, DRAWS)
    assert result is not None, reason
    assert result.scenarios[0].ultimate.middle > 0
    assert {c.where for c in result.cautions if c.code == "junction-too-close"} <= {h.name for h in result.layout.holes}


def test_left_and_right_hold_the_same() -> None:
    """The side changes no number: patterns and chart are the same seen from either side."""
    book = load_book()
    for name in ("bridging-3-2-knotted", "margin-convergence-l"):
        shape = FITTING.get(name, "crescent")
        one, other = (
            tried(CASES[f"{shape}, {side}, usual footprint, fair"], book, name, DRAWS)[0] for side in ("right", "left")
        )
        assert one is not None
        assert other is not None
        assert one.scenarios == other.scenarios


@pytest.mark.req("REQ-013")
@pytest.mark.parametrize("tendon", ["subscapularis", "teres minor"])
def test_a_tendon_no_pattern_covers_is_refused_by_name(tendon) -> None:
    """A tear of subscapularis or teres minor alone is refused with its name, and beside others it is left out aloud."""
    sheet = CASES["crescent, right, usual footprint, good"]
    alone = replace(sheet, tear=replace(sheet.tear, tendons=(tendon,)))
    with pytest.raises(OutsideValidity, match=f"tear of {tendon}"):
        hold(alone, load_book(), pattern="double-row", draws=DRAWS)
    beside = replace(sheet, tear=replace(sheet.tear, tendons=("supraspinatus", tendon)))
    codes = {caution.code for caution in prepare(beside, load_book()).cautions}
    assert f"{tendon.replace(' ', '-')}-not-repaired" in codes


def test_a_pattern_that_does_not_fit_is_refused_before_it_is_laid() -> None:
    """The refusal names the pattern and the reason."""
    prepared = prepare(CASES["crescent, right, usual footprint, good"], load_book())
    with pytest.raises(
        OutsideValidity, match="margin-convergence-u is not laid on this tear: the tear is called cresc"
    ):
        lay(prepared, "margin-convergence-u")


def test_a_planned_implant_does_not_fill_a_bone_tunnel() -> None:
    """Implants chosen in the plan replace anchors, not tunnel mouths."""
    sheet = replace(CASES["crescent, right, usual footprint, good"], plan=Plan(lateral_implant="threaded-5.0"))
    layout = lay(prepare(sheet, load_book()), "transosseous")
    assert {anchor.implant for anchor in layout.anchors} == {"bone-tunnel"}


def test_the_grid_holds_every_shape() -> None:
    """Five shapes, a narrow and a partial tear, either side, three footprints, three bones, all patterns."""
    assert {tear.shape for tear in TEARS.values()} >= {"crescent", "U", "L", "reverse L", "massive contracted"}
    assert len(trials()) == len(TEARS) * 2 * 3 * 3 * len(patterns())
