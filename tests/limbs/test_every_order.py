"""All orders of work of the smallest double-loaded case, looked through without the planner."""

import pytest

from cuffwright.limbs.judge import opening
from cuffwright.limbs.planning import make_plan
from tests.limbs.every import least
from tests.limbs.schematic import schematic


@pytest.mark.law
@pytest.mark.req("REQ-165")
@pytest.mark.parametrize(("far", "moves"), [(0, 36), (2, 37)])
def test_no_order_of_work_is_shorter_than_the_plan(far, moves):
    """Of all legal orders of two double-loaded anchors none is shorter than the plan: 36, with two far holes 37."""
    field = schematic(2, 2, 2, far=far)
    shortest, states = least(far)
    assert shortest == moves == make_plan(field, opening(field)).certificate.moves
    assert states > 280_000
