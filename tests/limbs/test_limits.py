"""Other fields: several cannulas, little room, one pair of hands, larger grasps, knotless sutures, refusals."""

from dataclasses import replace

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import LimbPortal, Span
from cuffwright.limbs.certify import certify
from cuffwright.limbs.judge import check, opening
from cuffwright.limbs.planning import make_plan
from tests.limbs.schematic import ALL, schematic


def changed(field, name, **values):
    """The field with one portal changed."""
    return replace(field, portals=tuple(replace(p, **values) if p.name == name else p for p in field.portals))


def blind(field):
    """The field with one view, by which the anchors go in too."""
    return changed(changed(changed(field, "L", views=False), "S", inserts=None), "P", inserts=ALL)


def certified(field):
    """The certificate of the field's plan, after the judge has followed it."""
    plan = make_plan(field, opening(field))
    found, _ = check(field, opening(field), plan.moves)
    assert not [f for f in found if f.severity == "illegal"]
    assert (plan.certificate.legal, plan.certificate.complete, plan.certificate.tangle_free) == (True, True, True)
    return plan.certificate


@pytest.mark.law
@pytest.mark.req("REQ-169")
def test_a_second_cannula_never_lengthens_the_plan_and_tells_its_gap():
    """Two working cannulas: at most the moves of one, at least the 35 found by looking through all; the gap is told."""
    told = certified(changed(schematic(2, 2, 2), "A", cannula=True, passes=ALL, seats=ALL))
    assert told.moves <= 36
    assert told.bound <= 35
    assert told.proof == ("bound" if told.moves == told.bound else "gap")
    assert told.gap == told.moves - told.bound
    assert "at most" in told.words


@pytest.mark.law
def test_little_room_is_planned_or_its_gap_told():
    """Twelve limbs a portal, six portals, four far holes: 102 moves, proven by counting."""
    field = schematic(4, 4, 3, far=4)
    portals = [replace(p, capacity=12) for p in field.portals]
    portals += [LimbPortal("Q", "Q", 40, 25, 12, views=True, inserts=ALL), LimbPortal("X", "X", -50, 0, 12)]
    told = certified(replace(field, portals=tuple(portals)))
    assert (told.moves, told.bound, told.proof) == (102, 102, "bound")


@pytest.mark.law
@pytest.mark.parametrize(("size", "moves"), [((2, 2, 2), 34), ((4, 4, 2), 69)])
def test_four_limbs_in_a_grasp_save_the_moves_counted_by_hand(size, moves):
    """With four limbs in one retrieval the plan is as short as the count by hand."""
    assert certified(schematic(*size, grasp=4)).moves == moves


@pytest.mark.law
def test_one_pair_of_hands_costs_a_retrieval_for_each_pass():
    """Without someone to take the passed limb each of the eight passes costs one retrieval more: 44, proven."""
    told = certified(replace(schematic(2, 2, 2), assistant=False))
    assert (told.moves, told.proof) == (44, "bound")


@pytest.mark.law
def test_knotless_sutures_are_seated_untied():
    """Knotless: 2 anchors, 8 passes with 8 arrivals, 2 lateral anchors of 4 limbs in 2 grasps each: 24, proven."""
    field = schematic(2, 2, 2)
    field = replace(field, sutures=tuple(replace(s, ending="knotless") for s in field.sutures))
    told = certified(field)
    assert (told.moves, told.proof) == (24, "bound")
    over = [replace(m, under=()) for m in make_plan(field, opening(field)).moves]
    seat = next(k for k, m in enumerate(over, 1) if m.kind == "seat")
    found, _ = check(field, opening(field), over)
    assert [(f.rule, f.step) for f in found if f.severity == "illegal"] == [("capture", seat)]
    assert any(t.startswith(f"step {seat}: lateral anchor") for t in certify(field, opening(field), over).trouble)


@pytest.mark.law
@pytest.mark.req("REQ-169")
@pytest.mark.parametrize(
    ("field", "why"),
    [
        (changed(schematic(2, 2, 2), "L", passes=Span(-99.0, 0.0)), "no portal reaches hole 2aF"),
        (changed(schematic(2, 2, 2), "S", inserts=None), "no open portal admits anchor 1"),
        (changed(schematic(2, 2, 2), "S", capacity=3), "brings 4 limbs, more than its portal holds"),
        (changed(schematic(2, 2, 2), "L", cannula=False), "cannula"),
        (changed(schematic(2, 2, 2), "L", seats=None), "no open portal admits lateral anchor L1"),
        (blind(schematic(2, 2, 2)), "anchor 1 goes in only by the P portal, where the arthroscope stands"),
        (changed(schematic(2, 2, 2), "L", capacity=3), "lateral anchor L1 is to take 4 limbs, more than its portal"),
    ],
)
def test_what_cannot_be_planned_is_refused_by_its_cause(field, why):
    """A field no order of work can end in is refused with the cause by name before any search."""
    with pytest.raises(CaseError, match=why):
        make_plan(field, opening(field))


@pytest.mark.law
def test_too_many_limbs_for_a_lateral_anchor_are_refused():
    """A lateral anchor that is owed more limbs than it takes is named, with what to do."""
    field = schematic(2, 2, 2)
    field = replace(field, seats=tuple(replace(s, load=3) for s in field.seats))
    with pytest.raises(CaseError, match="takes 3; add a lateral anchor"):
        make_plan(field, opening(field))
