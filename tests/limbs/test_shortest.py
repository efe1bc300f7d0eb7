"""The order of work of untouched cases: as short as counting allows, legal, complete and free of tangles."""

from dataclasses import replace

import pytest

from cuffwright.case.limbs import LimbField
from cuffwright.limbs.certify import certify
from cuffwright.limbs.judge import check, opening
from cuffwright.limbs.planning import make_plan
from tests.limbs.schematic import closed_form, schematic

CASES = [
    ((2, 2, 1), 0, 0, 20),
    ((2, 2, 2), 0, 0, 36),
    ((2, 2, 2), 0, 2, 37),
    ((2, 2, 3), 0, 0, 52),
    ((3, 2, 2), 0, 0, 53),
    ((3, 3, 2), 0, 0, 54),
    ((3, 3, 2), 0, 2, 55),
    ((3, 3, 3), 1, 0, 75),
    ((4, 4, 2), 0, 0, 73),
    ((4, 4, 2), 0, 2, 74),
    ((4, 4, 3), 1, 0, 101),
    ((4, 4, 3), 0, 0, 104),
    ((4, 4, 3), 0, 4, 104),
]
"""Anchors, sutures cut off, far holes, and the moves counted by hand in the design of the search."""


@pytest.mark.law
@pytest.mark.parametrize(("size", "cut", "far", "moves"), CASES)
def test_plans_meet_the_count_by_hand(size, cut, far, moves):
    """A plan of an untouched case is as short as the closed form, is proven so, and passes judge and certificate."""
    field = schematic(*size, cut=cut, far=far)
    plan = make_plan(field, opening(field))
    assert closed_form(field, far) == moves
    assert (plan.certificate.moves, plan.certificate.bound, plan.certificate.proof) == (moves, moves, "bound")
    assert plan.certificate.legal
    assert plan.certificate.complete
    assert plan.certificate.tangle_free
    findings, end = check(field, opening(field), plan.moves)
    assert not [f for f in findings if f.severity == "illegal"]
    assert {limb.stage for limb in end.limbs} == ({"fixed", "cut"} if cut else {"fixed"})


def _without(field: LimbField, step: int) -> list[str]:
    plan = make_plan(field, opening(field))
    moves = [m for number, m in enumerate(plan.moves, 1) if number != step]
    return certify(field, opening(field), moves).trouble


@pytest.mark.law
def test_any_move_left_out_is_noticed():
    """A shortest plan with one move left out is refused by the certificate, whichever move it is."""
    field = schematic(2, 2, 1)
    assert all(_without(field, step) for step in range(1, 21))


@pytest.mark.law
def test_a_pair_brought_with_a_limb_between_is_a_capture():
    """A limb laid over one strand of a pair and under the other is called captured at the tie, at its step."""
    field = schematic(2, 2, 1)
    for rule in ("together", "tie-order", "passes-first"):
        field = field.with_rule(rule, "note")
    plan = make_plan(schematic(2, 2, 1), opening(field))
    start = [m for m in plan.moves if m.kind in ("insert", "pass") or (m.kind == "retrieve" and m.source == "S")][:10]
    pull = next(m for m in plan.moves if m.kind == "retrieve" and m.source == "A")
    crossed = [
        replace(pull, limbs=("2aF",)),
        replace(pull, limbs=("1aB",), to="S"),
        replace(pull, limbs=("2aB",)),
        next(m for m in plan.moves if m.kind == "tie" and m.limbs[0] == "2aF"),
    ]
    findings, _ = check(field, opening(field), [*start, *crossed])
    assert [(f.rule, f.step, f.limbs) for f in findings if f.severity == "illegal"] == [("capture", 14, ("1aB",))]
