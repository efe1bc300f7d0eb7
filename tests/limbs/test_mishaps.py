"""Mishaps at three moments of a small and a large case: a new plan, legal and complete, shortest or with its gap."""

from dataclasses import replace
from functools import cache

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.limb_plan import Mishap
from cuffwright.case.limbs import LimbField, LimbPortal, LimbState, Move
from cuffwright.limbs.checking import followed
from cuffwright.limbs.judge import apply, opening
from cuffwright.limbs.mishaps import mishap
from cuffwright.limbs.planning import make_plan
from tests.limbs.records import by_hand
from tests.limbs.schematic import ALL, schematic
from tests.sampling import of

SIZES = ((2, 2, 2), (4, 4, 3))


@cache
def roomy(size: tuple[int, int, int]) -> LimbField:
    """The schematic field with a further portal behind that views and admits anchors, and room for ten in L."""
    field = schematic(*size)
    portals = tuple(replace(p, capacity=10) if p.name == "L" else p for p in field.portals)
    return replace(field, portals=(*portals, LimbPortal("Q", "Q", 40, 25, 12, views=True, inserts=ALL)))


@cache
def moments(size: tuple[int, int, int]) -> tuple[LimbState, LimbState, LimbState]:
    """States half-way through passing, before the first knot, and before the last knots."""
    field = roomy(size)
    moves = make_plan(field, opening(field)).moves
    tie = next(k for k, m in enumerate(moves) if m.kind == "tie")
    wanted = (tie // 2, tie, (tie + 2 * len(moves)) // 3)
    states, state = [], opening(field)
    for k, move in enumerate(moves):
        states += [state] if k in wanted else []
        state = apply(field, state, move)
    first, second, third = states
    return first, second, third


def events(field: LimbField, moment: int) -> list[Mishap]:
    """Eight mishaps that can befall the field at a moment."""
    last, first = field.carriers[-1], field.carriers[0]
    suture, late = field.sutures[0], field.sutures[-1]
    return [
        Mishap("anchor out", last.name),
        Mishap("anchor out", last.name, at=last.at + 1.0),
        Mishap("anchor out", first.name, at=first.at + 1.0),
        Mishap("knot failed", late.name) if moment == 2 else Mishap("suture unloaded", suture.name, "rethread"),
        Mishap("suture broke", suture.name, limb=suture.limbs[0]),
        Mishap("tear longer", "", at=28.0),
        Mishap("portal unusable", "S"),
        Mishap("cannula lost", "L"),
    ]


@pytest.mark.law
@pytest.mark.req("REQ-167")
@pytest.mark.parametrize(("size", "moment"), [(SIZES[0], 0), (SIZES[0], 1), (SIZES[0], 2), (SIZES[1], 1)])
def test_after_each_mishap_there_is_a_new_plan(size, moment):
    """Eight mishaps at three moments, of the large case at one: legal and complete plans, gaps told."""
    field = roomy(size)
    for event in events(field, moment)[:: of(2, 1) if size == SIZES[1] else 1]:
        found = mishap(field, moments(size)[moment], event)
        told = found.plan.certificate
        assert told.legal, (event, told.trouble)
        assert told.complete, event
        assert told.tangle_free, (event, told.trouble)
        assert found.changes
        assert told.moves - told.bound <= 2
        assert (told.proof == "bound") == (told.moves == told.bound)
        assert told.gap == (told.moves - told.bound if told.proof == "gap" else 0)
        list_ = followed(found.field, found.state, found.plan.moves)
        assert not list_.first("illegal"), event
        assert {x.stage for x in list_.state.limbs} <= {"fixed", "cut", "removed"}


@pytest.mark.law
@pytest.mark.parametrize(
    ("event", "moves"),
    [
        (Mishap("suture broke", "1a"), 13),
        (Mishap("anchor out", "2"), 10),
        (Mishap("anchor out", "2", at=14.0), 27),
        (Mishap("anchor out", "1", at=-13.0), 28),
    ],
)
def test_new_plans_are_as_long_as_counted_by_hand(event, moves):
    """With a pair in the cannula 17 are left; 13 without a suture, 10 without an anchor, 27 or 28 with a new one."""
    field = roomy((2, 2, 2))
    state = opening(field)
    for move in by_hand()[:19]:
        state = apply(field, state, move)
    assert make_plan(field, state).certificate.moves == 17
    assert mishap(field, state, event).plan.certificate.moves == moves


@pytest.mark.law
@pytest.mark.req("REQ-208")
def test_a_wrong_limb_is_accepted_or_taken_back():
    """A limb through the hole of another: either the two exchange holes, or it is taken back, and the plan goes on."""
    field = schematic(2, 2, 2)
    state = opening(field)
    for move in by_hand()[:4]:
        state = apply(field, state, move)
    kept = mishap(field, state, Mishap("wrong limb", "1aF", "accept", limb="1bF"))
    assert kept.field.suture("1b").front == field.suture("1a").front
    assert kept.state.limb("1bF").stage == "passed"
    back = mishap(field, state, Mishap("wrong limb", "1aF", "unpass", limb="1bF"))
    assert back.field == field
    assert kept.plan.certificate.complete
    assert back.changes == ("take limb 1bF back out of the hole of 1aF: step 1",)
    told = back.plan.certificate
    assert (told.moves, told.bound, told.legal, told.complete) == (36 - 4 + 3, 36 - 4 + 3, True, True)
    assert back.plan.steps[0].words == "Take 1bF back out of its hole to the A portal"
    assert [m.kind for m in back.plan.moves].count("unpass") == 1
    onward = back.plan.moves[1:]
    assert followed(back.field, back.state, onward).first("illegal").rule == "astray"
    assert not followed(back.field, back.state, back.plan.moves).first("illegal")


@pytest.mark.law
def test_a_knot_that_fails_is_tied_again():
    """A knot that fails in the cannula: the pair is taken out and in again and tied; nothing else changes."""
    field = roomy((2, 2, 2))
    state = opening(field)
    for move in by_hand()[:20]:
        state = apply(field, state, move)
    found = mishap(field, state, Mishap("knot failed", "2b"))
    assert found.plan.certificate.moves == 16 + 3
    assert found.state.limb("2bF").stage == "passed"


@pytest.mark.law
def test_a_lateral_anchor_out_goes_in_again():
    """A lateral anchor that came out gives its limbs back, knotted still, and is seated again."""
    field = schematic(2, 2, 2)
    state = opening(field)
    for move in by_hand():
        state = apply(field, state, move)
    found = mishap(field, state, Mishap("anchor out", "L2"))
    assert [m.kind for m in found.plan.moves] == ["seat"]
    assert {x.place for x in followed(found.field, found.state, found.plan.moves).state.limbs} == {"L1", "L2"}


@pytest.mark.law
@pytest.mark.req("REQ-167")
@pytest.mark.parametrize(
    ("event", "why"),
    [
        (Mishap("suture unloaded", "1a", "rethread"), "needs what its eyelet admits"),
        (Mishap("suture unloaded", "1a", "rescue"), "needs its place"),
        (Mishap("suture unloaded", "1a"), "rethread, drop or rescue"),
        (Mishap("knot failed", "1a"), "is not tied"),
        (Mishap("tear longer", ""), "needs the place"),
        (Mishap("anchor out", "L1"), "not in yet"),
        (Mishap("cannula lost", "A"), "no cannula"),
        (Mishap("wrong limb", "1aF", "accept", limb="1aB"), "by mistake"),
        (Mishap("portal unusable", "L"), "no portal reaches hole 1aF"),
        (Mishap("anchor out", "9"), "no anchor 9"),
    ],
)
def test_a_mishap_that_cannot_be_is_refused_by_name(event, why):
    """What is missing or cannot have happened is said by name; nothing is assumed."""
    field = schematic(2, 2, 2)
    field = replace(field, carriers=tuple(replace(c, eyelet=None) for c in field.carriers))
    state = opening(field)
    for move in (Move("insert", to="S", anchor="1"), Move("insert", to="S", anchor="2")):
        state = apply(field, state, move)
    with pytest.raises(CaseError, match=why):
        mishap(field, state, event)
