"""A recorded list of moves is followed as made: what was wrong, at which step, why, and what to do."""

from dataclasses import replace

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.limbs import Carrier, LimbField, Move
from cuffwright.limbs.certify import certify
from cuffwright.limbs.checking import counted, followed
from cuffwright.limbs.counts import count
from cuffwright.limbs.judge import apply, judge, opening
from cuffwright.limbs.planning import make_plan
from cuffwright.limbs.usual import differences, usual
from tests.limbs.records import by_hand, carried, pair
from tests.limbs.schematic import ALL, schematic


def without(*steps: int) -> list[Move]:
    """The list by hand without some of its steps."""
    return [m for number, m in enumerate(by_hand(), 1) if number not in steps]


def worst(field: LimbField, moves: list[Move]) -> list[tuple[int, str, str]]:
    """Step, rule and severity of what was said, notes left out."""
    found = followed(field, opening(field), moves).findings
    return [(f.step, f.rule, f.severity) for f in found if f.severity != "note"]


@pytest.mark.law
def test_the_list_by_hand_is_clean():
    """The shortest list written by hand is legal and free of risks; it has 36 moves and crosses no untied limb."""
    field = schematic(2, 2, 2)
    assert worst(field, by_hand()) == []
    counts = count(field, opening(field), by_hand())
    assert (counts.moves, counts.retrievals, counts.shuttles, counts.knots, counts.crossings) == (36, 20, 30, 4, 0)


@pytest.mark.law
@pytest.mark.req("REQ-166")
def test_each_mistake_is_named_at_its_step():
    """Mistakes put into the list by hand are named by their rule at the step where they show."""
    field = schematic(2, 2, 2)
    assert (22, "tie-alone", "illegal") in worst(field, without(21))
    single = by_hand()
    single[18:19] = [carried("A", "L", "2bF"), carried("A", "L", "2bB")]
    found = worst(field, single)
    assert found[0] == (19, "brought-alone", "risk")
    assert (21, "together", "illegal") in found
    assert worst(field, without(7))[0] == (7, "where", "illegal")
    assert worst(field, without(3))[0][:2] == (3, "where")
    early = by_hand()
    early.insert(19, Move("scope", to="L"))
    assert (20, "scope-clear", "illegal") in worst(field, early)
    assert worst(field, without(31))[0] == (32, "seat-complete", "illegal")


@pytest.mark.law
def test_a_far_hole_without_its_view_is_named():
    """Piercing a far hole while the arthroscope stands in the piercing portal breaks both rules at that step."""
    field = schematic(2, 2, 2, far=2)
    plan = make_plan(field, opening(field)).moves
    blind = [m for m in plan if m.kind != "scope"]
    step = next(k for k, m in enumerate(blind, 1) if m.kind == "penetrate")
    found = [f for f in worst(field, blind) if f[2] == "illegal"]
    assert found[0][0] == step
    assert {rule for at, rule, _ in found if at == step} == {"scope-clear", "pierce-view"}


@pytest.mark.law
def test_a_soft_order_is_a_risk_not_a_stop():
    """With the order of passing made a preference, the third hole before the first is a risk at its step."""
    field = schematic(2, 2, 2).with_rule("pass-order", "soft")
    moves = [*by_hand()[:2], carried("S", "L", "1bF"), Move("pass", ("1bF",), "L", "A")]
    assert worst(field, moves) == [(4, "pass-order", "risk")]


@pytest.mark.law
@pytest.mark.req("REQ-166")
def test_an_impossible_record_asks_for_a_census():
    """A limb moved from where it is not, or one that is not there, asks which limbs hang where and goes on."""
    field = schematic(2, 2, 2)
    moves = by_hand()[:4]
    found = followed(field, opening(field), [*moves, carried("P", "L", "9zF"), carried("A", "S", "1bB")])
    assert found.census == (5, 6)
    assert "which limbs hang out of which portal" in found.asked
    assert "step 5" in found.asked
    told = {"A": ["1aF"], "S": ["1aB", "1bF", "2aF", "2aB", "2bF", "2bB"], "L": ["1bB"]}
    state = counted(field, found.state, told)
    assert {p: sorted(state.hanging(p)) for p in told} == {p: sorted(limbs) for p, limbs in told.items()}
    plan = make_plan(field, state)
    assert plan.certificate.complete
    assert plan.certificate.legal


@pytest.mark.law
def test_a_census_must_name_every_limb_once():
    """A limb left out, counted twice, or already fixed is asked about, never assumed."""
    field = schematic(2, 2, 1)
    state = apply(field, opening(field), Move("insert", to="S", anchor="1"))
    with pytest.raises(CaseError, match="1aB is not counted"):
        counted(field, state, {"S": ["1aF"]})
    with pytest.raises(CaseError, match="counted twice"):
        counted(field, state, {"S": ["1aF", "1aB"], "A": ["1aF"]})
    gone = replace(state, limbs=(replace(state.limbs[0], stage="removed", place=""), *state.limbs[1:]))
    with pytest.raises(CaseError, match="cannot hang"):
        counted(field, gone, {"S": ["1aF", "1aB"]})


@pytest.mark.law
def test_overlapping_sutures_are_brought_under():
    """Sutures whose holes overlap: brought over all, two ties pin a limb; the plan goes under in two retrievals."""
    field = schematic(2, 2, 2)
    sutures = []
    for s, (front, back) in zip(field.sutures, ((0, 2), (1, 3), (4, 6), (5, 7)), strict=True):
        holes = [-24.0 + 48.0 * k / 7 for k in (front, back)]
        sutures.append(replace(s, front=holes[0], back=holes[1]))
    field = replace(field, sutures=tuple(sutures))
    plan = make_plan(field, opening(field))
    assert plan.certificate.moves == 36
    assert plan.certificate.tangle_free
    assert sum(bool(m.under) for m in plan.moves) == 2
    plain = [replace(m, under=()) for m in plan.moves]
    assert [rule for _, rule, _ in worst(field, plain)].count("pin") == 2
    assert not [rule for _, rule, _ in worst(field, list(plan.moves)) if rule == "pin"]


@pytest.mark.law
@pytest.mark.req("REQ-166")
def test_a_ring_of_limbs_is_named_where_it_closes():
    """1aF over 1bF, 1bF over 2aF, 2aF over 1aF: judge and replay both name the ring at the move that closes it."""
    field = schematic(2, 2, 2)
    passed = by_hand()[:18]
    ring = [carried("A", "L", "1bF"), replace(carried("A", "S", "1aF"), under=("2aF",))]
    found = [f for f in followed(field, opening(field), [*passed, *ring]).findings if f.rule == "interlock"]
    assert [(f.step, set(f.limbs)) for f in found] == [(20, {"1aF", "1bF", "2aF"})]
    told = certify(field, opening(field), [*passed, *ring]).trouble
    assert told[0] == "step 20: 1aF, 1bF, 2aF lie each over the next in a ring"
    layered = [ring[0], replace(ring[1], under=("1bF", "2aF"))]
    assert not [t for t in certify(field, opening(field), [*passed, *layered]).trouble if "ring" in t]


@pytest.mark.law
def test_a_grasp_in_mid_strand_blocks_the_knot_it_may_lie_in():
    """A limb taken in mid-strand across a pair is suspect: the pair may not be tied until it is taken at its source."""
    field = schematic(2, 2, 2)
    moves = [*by_hand()[:18], carried("A", "L", *pair("2b"))]
    tie, loose = Move("tie", pair("2b"), to="L"), replace(carried("A", "S", "1aF"), grab="mid-strand")
    assert (21, "capture", "illegal") in worst(field, [*moves, loose, tie])
    again = carried("S", "A", "1aF")
    assert not [f for f in worst(field, [*moves, loose, again, tie]) if f[2] == "illegal"]


@pytest.mark.law
@pytest.mark.parametrize(
    ("grouped", "singly", "counts"),
    [(True, True, (52, 36, 48, 384, 41)), (False, True, (48, 32, 40, 352, 3)), (False, False, (44, 28, 40, 328, 3))],
)
def test_the_usual_order_is_legal_and_counted(grouped, singly, counts):
    """Orders of common practice are legal and need 52, 48 and 44 moves by hand; each difference has a reason."""
    field = schematic(2, 2, 2)
    moves = usual(field, grouped=grouped, singly=singly)
    assert not [f for f in worst(field, list(moves)) if f[2] == "illegal"]
    told = count(field, opening(field), moves)
    assert (told.moves, told.retrievals, told.shuttles, told.limb_steps, told.crossings) == counts
    plan = make_plan(field, opening(field))
    apart = differences(field, opening(field), moves, plan.moves)
    assert sum(d.usual - d.planned for d in apart) == told.moves - plan.counts.moves
    assert all(d.reason and d.reason != "the kind of work differs" for d in apart)


def opened(field: LimbField, **portals: dict[str, object]) -> LimbField:
    """The field with some portals changed, by their names."""
    return replace(field, portals=tuple(replace(p, **portals.get(p.name, {})) for p in field.portals))


KNOTLESS = schematic(2, 2, 2)
ODD = {
    "both limbs to one lateral anchor": schematic(2, 1, 1),
    "knotless": replace(KNOTLESS, sutures=tuple(replace(s, ending="knotless") for s in KNOTLESS.sutures)),
    "anchors where the arthroscope stands": opened(schematic(2, 2, 2), S={"inserts": None}, P={"inserts": ALL}),
    "anchors by the passing cannula": opened(schematic(2, 2, 2), S={"inserts": None}, L={"inserts": ALL}),
    "far holes, little room to pierce from": opened(schematic(3, 3, 2, far=4), P={"capacity": 2}),
    "tied and cut": schematic(2, 2, 2, cut=2),
}


@pytest.mark.law
@pytest.mark.parametrize("field", ODD.values(), ids=ODD)
def test_the_usual_order_keeps_the_rules_on_other_fields(field):
    """Knotless rows, one lateral anchor, anchors by the view or the cannula: legal, whole, and longer than the plan."""
    moves = usual(field)
    assert not [f for f in worst(field, list(moves)) if f[2] == "illegal"]
    assert certify(field, opening(field), moves).trouble == []
    plan = make_plan(field, opening(field))
    apart = differences(field, opening(field), moves, plan.moves)
    assert sum(d.usual - d.planned for d in apart) == count(field, opening(field), moves).moves - plan.counts.moves > 0


@pytest.mark.law
def test_an_untested_anchor_and_a_full_eyelet_are_named():
    """A limb of an anchor nobody pulled on may not be passed; an eyelet takes no more sutures than it admits."""
    field = schematic(2, 2, 2)
    moves = by_hand()
    moves[0] = replace(moves[0], held=False)
    assert worst(field, moves[:4])[0] == (4, "tested", "illegal")
    moves.insert(2, Move("test", anchor="1"))
    assert worst(field, moves[:5]) == []
    tight = replace(field, carriers=(Carrier("1", -12.0, eyelet=1), *field.carriers[1:]))
    assert {f.rule for f in judge(tight, opening(tight), moves[0]) if f.severity == "illegal"} == {"eyelet"}
    with pytest.raises(CaseError, match="eyelet of anchor 1 admits 1"):
        make_plan(tight, opening(tight))
