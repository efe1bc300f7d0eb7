"""From a case to its limbs: fields of laid patterns, portals by what they reach, refusals by name."""

from collections import Counter
from dataclasses import replace

import pytest

from cuffwright.case.errors import CaseError, CuffError
from cuffwright.case.fact import Citing
from cuffwright.case.identity import Identity
from cuffwright.case.opened import Implants, OpenedImplant, Thread
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tissues import Footprint
from cuffwright.course.limb_portals import SETS
from cuffwright.course.limb_reach import limb_reach
from cuffwright.course.limb_rules import limb_rules
from cuffwright.course.limbs import lay_limbs, limbs_of
from cuffwright.course.prepared import lay, prepare
from cuffwright.evidence.book import load_book
from cuffwright.limbs.certify import certify
from tests.course.tear_grid import TEARS, mm
from tests.limbs.schematic import closed_form

BOOK = load_book()


def sheet(shape: str, side="right") -> CaseSheet:
    """An invented tear of this shape on the usual footprint."""
    return CaseSheet(Identity("invented", side), TEARS[shape], footprint=Footprint(ap_mm=mm(36), ml_mm=mm(13)))


@pytest.fixture(scope="module")
def crescent():
    """The crescent, prepared once."""
    return prepare(sheet("crescent"), BOOK, plain=True)


@pytest.mark.parametrize("name", ["bridging-knotted", "bridging-3-2-knotted", "bridging-3-3-knotted"])
@pytest.mark.parametrize("portals", ["fewest", "five"])
@pytest.mark.req("REQ-170")
def test_knotted_bridges_take_as_many_moves_as_counted_by_hand(name, portals) -> None:
    """The plan of a real case equals the closed form, and the separate replay finds it legal, whole and untangled."""
    answer = limbs_of(sheet("crescent"), BOOK, pattern=name, portal_set=portals)
    assert answer.plan is not None
    assert answer.plan.certificate.moves == answer.plan.certificate.bound == closed_form(answer.field)
    assert certify(answer.field, answer.state, answer.plan.moves).trouble == []


@pytest.mark.parametrize(
    "shape, name",
    [
        ("crescent", "single-row-triple"),
        ("crescent", "bridging-knotless"),
        ("massive", "overlapping-mattress"),
        ("L", "transosseous-crossed"),
        ("reverse L", "single-row-mason-allen"),
        ("U", "medialised"),
        ("U", "margin-convergence-u"),
        ("crescent", "double-row"),
        ("L", "single-row-simple"),
    ],
)
def test_other_patterns_are_planned_or_refused_by_name(shape, name) -> None:
    """Each gives a plan the replay agrees with, or a sentence that names anchor, hole, tear or portal."""
    answer, refused = None, ""
    try:
        answer = limbs_of(sheet(shape), BOOK, pattern=name)
    except CuffError as wrong:
        refused = str(wrong)
    if answer is None:
        assert any(word in refused for word in (name, "anchor", "hole", "portal"))
        return
    assert answer.plan is not None, answer.refused
    assert certify(answer.field, answer.state, answer.plan.moves).trouble == []
    ends = {"bridged": 2, "tied and cut": 1}
    knots = sum(suture.ending in ends for suture in answer.field.sutures)
    assert answer.plan.counts.knots == knots
    assert answer.compared is not None, answer.not_computed
    assert answer.compared.moves > answer.plan.counts.moves


def test_the_same_case_gives_the_same_plan_and_a_left_shoulder_too() -> None:
    """Two runs agree to the last move, and side changes no move, since the chart carries none."""
    one, two, left = (limbs_of(sheet("crescent", side), BOOK, pattern="bridging-knotted") for side in
                      ("right", "right", "left"))  # fmt: skip
    assert one == two
    assert one.plan
    assert left.plan
    assert one.plan.moves == left.plan.moves


@pytest.mark.req("REQ-171")
def test_spans_hold_what_access_reaches_and_nothing_it_does_not(crescent) -> None:
    """Every anchor, hole and lateral anchor inside a portal's interval is reached from it by access's own answer."""
    for name in ("bridging-3-2-knotted", "single-row-triple", "overlapping-mattress"):
        layout = lay(crescent, name)
        reach = limb_reach(crescent, layout)
        for portal in lay_limbs(crescent, layout).field.portals:
            own = reach.portal(portal.name)
            for task, span in (("insert", portal.inserts), ("seat", portal.seats), ("hole", portal.pierces)):
                inside = {s for s in reach.sites[task] if span and span.holds(reach.along[s])}
                assert inside <= set(own.poses)
            holes = {s for s in reach.sites["hole"] if portal.passes and portal.passes.holds(reach.along[s])}
            assert holes <= own.straight


def test_portals_lie_in_the_order_measured_and_in_convex_position(crescent) -> None:
    """Along the tear the drawn order is that of access, and every portal is a corner of their hull."""
    layout = lay(crescent, "bridging-knotted")
    measured = [p.name for p in limb_reach(crescent, layout).portals]
    for portal_set in SETS:
        portals = lay_limbs(crescent, layout, portal_set=portal_set).field.portals
        assert [p.name for p in portals] == [name for name in measured if name in SETS[portal_set]]
        for a, b, c in zip(portals, portals[1:], portals[2:], strict=False):
            assert (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x) < 0


@pytest.mark.req("REQ-172")
def test_looks_come_from_opened_packs_only() -> None:
    """A pack that is opened gives its threads' looks; the others stay not known and are told as not computed."""
    opened = Implants((OpenedImplant("1", (Thread("a", "blue", "tracer"),), 2),))
    answer = limbs_of(replace(sheet("crescent"), implants=opened), BOOK, pattern="bridging-knotted")
    looks = {suture.name: suture.look for suture in answer.field.sutures}
    assert looks["1a"] is not None
    assert looks["1a"].words == "blue tracer"
    assert looks["2a"] is None
    assert any("looks" in text for text in answer.not_computed)
    assert answer.field.carrier("1").eyelet == 2
    assert answer.field.carrier("2").eyelet is None


@pytest.mark.req("REQ-172")
def test_an_eyelet_that_admits_fewer_sutures_than_planned_is_refused_by_name() -> None:
    """Double-loaded anchors with eyelets for one suture have no order of work, and the anchor is named."""
    opened = Implants((OpenedImplant("1", (), 1),))
    answer = limbs_of(replace(sheet("crescent"), implants=opened), BOOK, pattern="single-row-simple")
    assert answer.plan is None
    assert "eyelet of anchor 1 admits 1" in answer.refused


def test_every_rule_the_engine_asks_for_stands_in_the_rows_with_a_reason() -> None:
    """Names are unique, each has a reason, and what is from memory or assumed says so."""
    rules = limb_rules(Citing(BOOK))
    assert max(Counter(rule.name for rule in rules).values()) == 1
    assert all(rule.reason and rule.source for rule in rules)
    assert {"assumed", "memory"} & {rule.provenance for rule in rules}
    assert next(rule for rule in rules if rule.name == "capture").weight == "hard"


@pytest.mark.req("REQ-171")
def test_an_anchor_out_of_reach_is_refused_by_name(crescent) -> None:
    """Without the portals that reach it no plan is made up: anchor and portals asked are named."""
    with pytest.raises(CaseError, match=r"anchor \w+ is reached from"):
        lay_limbs(crescent, lay(crescent, "single-row-3"))


def test_fewest_portals_are_taken_that_reach_everything(crescent) -> None:
    """Every set before the one chosen misses a site, said by name."""
    layout = lay(crescent, "single-row-triple")
    chosen = lay_limbs(crescent, layout).portal_set
    for smaller in list(SETS)[: list(SETS).index(chosen)]:
        with pytest.raises(CaseError, match="is reached from"):
            lay_limbs(crescent, layout, portal_set=smaller)


def test_the_usual_order_is_followed_counted_and_compared() -> None:
    """Two double-loaded anchors bridged to two: 52 moves by the usual order against 36, and the reasons add up."""
    answer = limbs_of(sheet("L"), BOOK, pattern="overlapping-mattress")
    found = answer.compared
    assert found is not None
    assert (found.moves, found.planned) == (52, 36)
    assert sum(usually - planned for _, usually, planned, _ in found.differences) == found.moves - found.planned


def test_an_unknown_set_of_portals_is_refused() -> None:
    """The refusal names the sets there are."""
    with pytest.raises(CaseError, match="four"):
        limbs_of(sheet("crescent"), BOOK, pattern="bridging-knotted", portal_set="nine")
