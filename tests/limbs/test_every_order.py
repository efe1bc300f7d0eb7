"""All orders of work of the smallest double-loaded case, looked through without the planner."""

import pytest

from cuffwright.limbs.judge import opening
from cuffwright.limbs.planning import make_plan
from tests.limbs.every import Work, least
from tests.limbs.schematic import schematic


@pytest.mark.law
@pytest.mark.req("REQ-165")
@pytest.mark.parametrize(("far", "moves"), [(0, 36), (2, 37)])
def test_no_order_of_work_is_shorter_than_the_plan(far, moves):
    """Of all legal orders of two double-loaded anchors none is shorter than the plan: 36, with two far holes 37."""
    field = schematic(2, 2, 2, far=far)
    shortest, states = least(Work(far=far))
    assert shortest == moves == make_plan(field, opening(field)).certificate.moves
    assert states > 280_000


@pytest.mark.law
@pytest.mark.req("REQ-165")
@pytest.mark.parametrize(
    ("anchors", "load", "moves"),
    [(2, 1, 20), (3, 1, 29), (1, 2, 19)],
)
def test_smaller_repairs_take_what_all_their_orders_say(anchors, load, moves):
    """Two, three single-loaded anchors and one double-loaded, over two lateral ones: 20, 29, 19 moves, as planned."""
    field = schematic(anchors, 2, load)
    shortest, _ = least(Work(pairs=anchors * load, each=2 * load))
    assert shortest == moves == make_plan(field, opening(field)).certificate.moves
