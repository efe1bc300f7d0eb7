"""The whole answer: sides, seeds, patterns, portals, words, and what never leaves for a patient's sheet."""

from dataclasses import asdict, replace

import numpy as np
import pytest

from cuffwright.access.portals import NAMES, default_places, skin_point
from cuffwright.access.posing import stand
from cuffwright.access.sighting import covered, hidden_footprint
from cuffwright.case.errors import CaseError, EvidenceError
from cuffwright.case.measurement import Measurement
from cuffwright.case.reach import AccessResult, Approach, PortalPlace, Pose, best_way
from cuffwright.case.shoulder import Shoulder
from cuffwright.case.tissues import Footprint
from cuffwright.course.access import access, answer, at_pose, patient_marks, ready
from cuffwright.course.prepared import lay, prepare
from cuffwright.course.reaching import REACH_CODES, reach_of
from cuffwright.course.settling import glance, settle
from cuffwright.evidence.book import load_book
from cuffwright.repair.patterns import patterns
from cuffwright.start.bench_access import access_times

from .conftest import sheet_of
from .reach_grid import CASES, FITTING, grid, reached
from .test_landmarks import scanned

DRAWN = 24

SAMPLE = 13
"""Every so many trials one is run here; ``tools/long_access.py`` runs them all."""


@pytest.fixture(scope="module")
def right() -> AccessResult:
    """A right shoulder with a bridging repair, few draws."""
    return access(sheet_of(), load_book(), pattern="bridging-knotted", draws=DRAWN)


@pytest.mark.req("REQ-003")
def test_left_mirrors_right(right):
    """A left shoulder gives every angle, margin and answer of the right one, and skin points with Z negated."""
    left = access(sheet_of("left"), load_book(), pattern="bridging-knotted", draws=DRAWN)
    for one, other in zip(right.portals, left.portals, strict=True):
        assert other.skin == (one.skin[0], one.skin[1], -one.skin[2])
        assert one.distances == other.distances
    same = {"side": "right", "portals": right.portals, "input_hash": right.input_hash}
    assert left.side == "left"
    assert replace(left, **same) == right


def test_same_seed_same_answer_and_another_seed_another(right):
    """The answer is a function of its inputs; the draws turn with the seed and stay near."""
    again = access(sheet_of(), load_book(), pattern="bridging-knotted", draws=DRAWN)
    other = access(sheet_of(), load_book(), pattern="bridging-knotted", draws=DRAWN, seed=2)
    assert again == right
    assert other != right
    middles = [[m.margin.middle for m in result.margins] for result in (right, other)]
    assert np.max(np.abs(np.subtract(*middles))) < 8


def test_a_sample_of_patterns_shapes_sides_and_footprints_runs_or_is_refused_by_name():
    """Every so many trials of the grid: a whole table of finite numbers, or a sentence naming pattern and reason."""
    book, chosen = load_book(), grid()[::SAMPLE]
    found = [reached(sheet, book, pattern) for _, sheet, pattern in chosen]
    ran = [one for one, _ in found if one is not None]
    print(
        f"\n{len(ran)} of {len(chosen)} ran: {sum(one.somewhere == one.sites for one in ran)} with every site reached"
    )
    assert {pattern for _, _, pattern in chosen} == set(patterns())
    for (case, _, pattern), (one, reason) in zip(chosen, found, strict=True):
        assert one is not None or pattern in reason, f"{pattern} on {case}: {reason}"
    assert len(ran) > len(chosen) / 3
    assert all(one.somewhere > 0 for one in ran)


@pytest.mark.parametrize("name", sorted(patterns()))
def test_answers_are_of_the_three_kinds_with_probability_and_reason(name):
    """Each pattern on its tear, each site from each portal: yes, at another position, or no and why; shares 0 to 1."""
    sheet = CASES[f"{FITTING.get(name, 'crescent')}, left, large footprint, good"]
    result = access(sheet, load_book(), pattern=name, draws=4)
    sites = {reach.site for reach in result.reaches}
    assert len(result.reaches) == len(sites) * len(NAMES)
    for reach in result.reaches:
        assert 0 <= reach.probability <= 1
        assert (reach.answer == "no") == bool(reach.reason)
        assert (reach.answer == "moved") == (reach.pose != result.pose)
        assert reach.words.startswith(f"{reach.site} from {reach.portal}: ")
    done = [site for move in result.moves for site, _ in move.steps]
    assert sorted((*done, *result.unreached)) == sorted(sites)
    for axis in result.axes:
        assert np.linalg.norm(axis.along) == pytest.approx(1.0, abs=0.01)
        assert axis.along[2] < 0
        assert np.degrees(np.arcsin(-axis.along[2])) == pytest.approx(axis.angle_degrees, abs=0.1)


def test_medial_anchors_come_through_the_stab_and_lateral_ones_from_below(right):
    """The trade's way: the medial row also by the accessory stab, the lateral row from below, not from above."""
    for site in ("1", "2"):
        ways = {r.portal: r.answer for r in right.reaches if r.site == site}
        assert ways["accessory superolateral"] != "no"
        assert ways["anterior"] == "no"
    for site in ("L1", "L2"):
        ways = {r.portal: r.answer for r in right.reaches if r.site == site}
        assert ways["lateral"] == "yes"
        assert ways["superomedial"] == ways["posterior"] == "no"


def test_footprint_goes_under_the_acromion_as_the_arm_is_lifted():
    """Print: the footprint goes under the acromion from about 34 degrees of the arm on; at the side it is free."""
    asked = ready(sheet_of(), load_book(), pattern="bridging-knotted")
    lifted = (0.0, 15.0, 25.0, 35.0, 50.0, 70.0)
    shares = [answer(asked, Pose(a), draws=4).hidden.share for a in lifted]
    print(f"\nshare of the footprint under the acromion, arm to scapula {lifted}: {shares}")
    assert shares[0] == 0
    assert shares == sorted(shares)
    assert 0 < shares[3] < shares[5]
    assert shares[5] > 0.4


@pytest.mark.parametrize("abduction", [30.0, 40.0, 50.0, 70.0])
def test_the_hidden_share_is_that_of_the_surface_cut_into_small_pieces(abduction):
    """4,000 flat pieces of the footprint, each by its own area in space: the same share, to 1 % of the footprint."""
    scene = ready(sheet_of(), load_book(), pattern="bridging-knotted").scene
    chart, stance = scene.shoulder.chart, stand(scene.shoulder, (Pose(abduction),), 0.0)
    u = np.linspace(0, chart.length, 101)
    gap, edge = chart.gap(u), chart.edge(u)
    points = chart.to_humerus(u[:, None], gap[:, None] + np.linspace(0, 1, 41) * (edge - gap)[:, None])
    a, b, c, d = points[:-1, :-1], points[1:, 1:], points[1:, :-1], points[:-1, 1:]
    area = np.linalg.norm(np.cross(b - a, d - c), axis=-1).ravel() / 2
    under = covered(scene.shoulder, stance.points(((a + b + c + d) / 4).reshape(-1, 3))[0])
    found = hidden_footprint(scene.shoulder, scene.sites, scene.spots, stance).share
    assert found == pytest.approx(area[under].sum() / area.sum(), abs=0.01)


def test_answers_never_promise_harmlessness(right):
    """No text of an answer holds the word safe (keys of rows left out), and the population sentence is always there."""
    told = str(asdict(replace(right, facts=()))).lower()
    assert "safe" not in told
    assert "population estimates" in told
    assert all(margin.fifth <= margin.margin.middle for margin in right.margins)


def test_memory_never_reaches_a_patients_sheet(right):
    """Only portals all of whose distances were read go on a patient's sheet; the provenance of each is known."""
    book = load_book()
    kept = patient_marks(right)
    assert kept
    for mark in right.portals:
        words = {book.fact(key).provenance for key, _ in mark.provenance}
        assert words
        assert (mark in kept) == (not words & {"memory", "assumed"})
    assert "lateral" not in {mark.name for mark in kept}


def test_every_portal_after_the_first_is_confirmed_by_needle(right):
    """The posterior portal is made by landmarks, all others say confirm by needle; distances are in cm."""
    assert [mark.confirm for mark in right.portals] == ["first, by landmarks"] + 6 * ["confirm by needle"]
    assert dict(right.portals[0].distances)["below the posterolateral corner"] == 2.0


def test_a_portal_can_be_edited_and_wrong_ones_are_named():
    """A lower lateral portal moves its skin down and its nerve margin with it; an unknown portal is refused."""
    book = load_book()
    (lateral,) = (p for p in default_places(asked_book()) if p.name == "lateral")
    results = [
        access(sheet_of(), book, pattern="double-row", places=(place,), draws=12)
        for place in (lateral, replace(lateral, down=lateral.down + 10))
    ]
    margins = [next(m for m in r.margins if m.portal == "lateral").margin.middle for r in results]
    assert margins[0] - margins[1] == pytest.approx(10.0, abs=1.5)
    assert results[1].portals[2].provenance == (("set by the surgeon", "measured"),)
    with pytest.raises(CaseError, match="no portal called umbilical"):
        access(sheet_of(), book, pattern="double-row", places=(PortalPlace("umbilical"),))
    with pytest.raises(CaseError, match="between 0"):
        PortalPlace("lateral", along=1.5)


def asked_book():
    """The rows, remembering what is read."""
    from cuffwright.case.fact import Citing

    return Citing(load_book())


def test_portal_skin_lies_below_the_edge_by_what_was_asked(mean, book):
    """A portal off the edge lies the asked distance below its edge point, down the hanging body, outside the bone."""
    up = mean.body[:, 1]
    for place in default_places(book):
        if place.along is not None and place.down:
            skin, edge = skin_point(place, mean, 20.0), mean.acromion.edge(place.along)
            assert (edge - skin) @ up == pytest.approx(place.down, abs=0.3)
            assert np.linalg.norm(skin - mean.head) > mean.measures.head_radius + mean.measures.beyond_sphere


def test_an_implant_without_a_size_is_named():
    """An anchor whose size no row gives is refused: not computed, needs its rows."""
    prepared = prepare(sheet_of(), load_book(), plain=True)
    layout = lay(prepared, "single-row-simple")
    odd = layout.with_anchor(replace(layout.anchors[0], implant="unheard-of-9"))
    with pytest.raises(EvidenceError, match="not computed, needs the diameter and bed of unheard-of-9"):
        access(sheet_of(), load_book(), layout=odd)


def test_measures_of_the_case_narrow_the_answer():
    """A measured head and critical angle leave less spread than none."""
    sheet = sheet_of()
    angle = replace(sheet.acromion, critical_shoulder_angle_degrees=Measurement(38.0, 1.0, "image"))
    known = replace(sheet, acromion=angle, footprint=Footprint(head_radius_mm=Measurement(25.0, 0.5, "image")))
    wide, narrow = (dict(access(s, load_book(), pattern="double-row", draws=4).spread) for s in (sheet, known))
    assert narrow["head_radius"] < wide["head_radius"] / 3
    assert narrow["shoulder_angle_degrees"] < wide["shoulder_angle_degrees"] / 2
    assert narrow["glenoid_height"] < wide["glenoid_height"]


def test_one_position_agrees_with_the_table():
    """The quick answer for one arm position is the table's row for it."""
    asked = ready(sheet_of(), load_book(), pattern="bridging-knotless")
    poses = asked.gear.posing.tried(Pose(15.0))
    table = asked.scene.paths(poses)
    for place in (0, 40, 120):
        quick = at_pose(asked, poses[place])
        assert np.allclose(quick.angle[0], table.angle[place])
        assert (quick.stop[0] == table.stop[place]).all()


def test_one_position_and_the_whole_table_are_quick():
    """Three and three anchors, eight holes, seven portals: one position under 20 ms, 169 under 2 s."""
    times = access_times()
    print(f"\n{times}")
    assert times["access_pose_ms"] < 20
    assert times["access_table_ms"] < 2000
    assert times["access_in_hold_ms"] < 2000


def test_what_access_answers_is_what_the_repair_is_told(right):
    """For every site the rules of the repair are told yes, moved or no as the whole answer has it."""
    prepared = prepare(sheet_of(), load_book(), plain=True)
    told = {one.site: one.answer for one in reach_of(prepared, lay(prepared, "bridging-knotted"))}
    assert told == {site: right.best(site).answer for site in {reach.site for reach in right.reaches}}


def test_a_hold_says_what_no_portal_reaches_and_what_waits_for_the_arm():
    """Strength carries reach: behind 120 mm of soft tissue no 120 mm shaft arrives; an estimate keeps the words."""
    far = Measurement(120.0, 1.0, "typed")
    thick = replace(sheet_of(), shoulder=Shoulder(fat_mm=far, skin_acromion_mm=far))
    kinds = []
    for sheet in (sheet_of(), thick):
        prepared = prepare(sheet, load_book(), plain=True)
        layout = lay(prepared, "single-row-simple")
        settled, reached = settle(prepared, layout, draws=2), reach_of(prepared, layout)
        said = [c for c in settled.cautions if c.code in REACH_CODES]
        lost = {one.site: one.reason for one in reached if one.answer == "no"}
        assert {c.where for c in said if c.code == "out-of-reach"} == set(lost)
        assert all(lost[c.where] in c.text for c in said if c.code == "out-of-reach")
        waiting = ",".join(c.where for c in said if c.code == "reach-needs-arm")
        assert set(filter(None, waiting.split(","))) == {one.site for one in reached if one.answer == "moved"}
        assert [c for c in glance(prepared, layout, settled).cautions if c.code in REACH_CODES] == said
        kinds.append({one.answer for one in reached})
    assert "no" not in kinds[0]
    assert "no" in kinds[1]


def test_of_equal_ways_the_one_that_moves_the_arm_less_is_planned(right):
    """Two ways equally sure and steep: whichever stands first, the one 10 degrees away is taken, not that 70 away."""
    some = next(row for row in right.reaches if row.answer == "moved")
    near, far = (replace(some, pose=replace(right.pose, abduction_degrees=up)) for up in (25.0, 85.0))
    assert best_way((near, far), right.pose) == best_way((far, near), right.pose) == near


RAISED = Pose(40.0, 10.0, 20.0)
LOW = PortalPlace("accessory superolateral", along=0.5, beside=40.0, error=3.0)
"""An arm, and a stab far off the edge: neither as usual."""


@pytest.mark.parametrize("approach", [Approach(RAISED), Approach(None, (LOW,)), Approach(RAISED, (LOW,))])
def test_reach_follows_the_arm_and_the_portals_that_stand(approach):
    """Strength is told of each site what Access answers from this arm and these portals, and where the arm stands."""
    prepared = prepare(sheet_of(), load_book(), plain=True)
    layout = lay(prepared, "bridging-knotted")
    told = reach_of(prepared, layout, approach)
    asked = ready(sheet_of(), load_book(), layout=layout, places=approach.portals)
    standing = approach.arm or asked.gear.posing.usual["beach chair"]
    paths = at_pose(asked, standing)
    assert {one.standing for one in told} == {standing}
    assert [one.answer == "yes" for one in told] == paths.free[0].any(axis=0).tolist()
    steepest = np.where(paths.free[0], paths.angle[0], -np.inf).argmax(axis=0)
    assert all(one.answer != "yes" or one.portal == NAMES[k] for one, k in zip(told, steepest, strict=True))
    assert told != reach_of(prepared, layout)


def test_an_estimate_says_reach_anew_once_the_arm_stands_elsewhere():
    """Arm moved after the last settled answer: the estimate says of reach what the next settled answer will say."""
    prepared = prepare(sheet_of(), load_book(), plain=True)
    layout, raised = lay(prepared, "single-row-simple"), Approach(RAISED)
    before, after = settle(prepared, layout, draws=2), settle(prepared, layout, draws=2, approach=raised)
    words = [[c for c in one.cautions if c.code in REACH_CODES] for one in (before, after)]
    assert words[0] != words[1]
    estimate = glance(prepared, layout, before, raised)
    assert [c for c in estimate.cautions if c.code in REACH_CODES] == words[1]
    assert estimate.input_hash == after.input_hash != before.input_hash
    assert estimate.approach == raised


def test_better_places_gain_sites_within_their_latitude(right):
    """Every better place reaches more sites than before and stays within the portal's latitude."""
    defaults = {place.name: place for place in default_places(asked_book())}
    for better in right.better:
        meant = defaults[better.portal]
        assert better.after > better.before
        assert abs(better.place.along - meant.along) <= 0.2 + 1e-9
        assert abs(better.place.down - meant.down) <= 5 + 1e-9
    assert {better.portal for better in right.better} <= set(defaults)


def test_the_scope_sees_from_behind_and_changes_with_its_tilt(right):
    """A 70 degree scope from behind sees the repair from both spaces; from the joint the wall is hidden."""
    views = {(s.portal, s.scope_degrees, s.compartment): set(s.seen) for s in right.sights}
    assert len(views) == len(NAMES) * 4
    assert {"1", "2"} <= views["posterior", 70, "subacromial"]
    assert views["posterior", 70, "joint"]
    assert not views["posterior", 70, "joint"] & {"L1", "L2"}
    assert views["lateral", 30, "subacromial"] >= {"L1", "L2"}
    assert any(views[p, 30, "subacromial"] != views[p, 70, "subacromial"] for p in NAMES)


def test_a_measured_humerus_makes_the_answer_surer(mean):
    """Landmarks and the humerus's own angles measured: the answers that were yes hold in more drawn shoulders.

    Landmarks of the scapula alone hardly do it (printed): how the humerus is turned decides more.
    """
    names = ("retroversion_degrees", "front_margin_degrees", "neck_shaft_degrees", "tuberosity_degrees")
    told = {name: Measurement(getattr(mean.measures, name), 1.0, "image") for name in names}
    marks = scanned(mean, sd=0.5)
    ways = ({}, {"landmarks": marks}, {"landmarks": marks, "measures": told})
    results = [access(sheet_of(), load_book(), pattern="bridging-knotted", draws=60, **given) for given in ways]
    sure = [
        [one.probability for one in rows]
        for rows in zip(*(result.reaches for result in results), strict=True)
        if {one.answer for one in rows} == {"yes"}
    ]
    means = np.mean(sure, axis=0)
    print(f"\nmean probability of {len(sure)} answers yes: {np.round(means, 3)} with nothing, landmarks, humerus too")
    assert means[2] > means[0] + 0.03
    with pytest.raises(CaseError, match="no measure hat_size"):
        access(sheet_of(), load_book(), pattern="double-row", measures={"hat_size": Measurement(58.0, 1.0, "typed")})
