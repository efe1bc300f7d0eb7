"""Access in process: what is drawn is what is computed, kept changes, and what is refused."""

from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cuffwright.case.identity import Side
from cuffwright.case.reach import Compartment, Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.access import Ready, answer, ready
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.web.access_asking import explain
from cuffwright.web.access_live import live_view
from cuffwright.web.access_mesh import block
from cuffwright.web.access_orders import ScopeOrder
from cuffwright.web.access_scene import scene_view
from cuffwright.web.access_view import answer_view
from cuffwright.web.refusal import Refusal
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK

BOOK = load_book()
POSE = Pose(32.0, 8.0, -12.0, 2.0)


def of_side(side: Side) -> Ready:
    """The small crescent tear on a shoulder of either side."""
    sheet: CaseSheet = demo_cases()["small_crescent"]
    return ready(replace(sheet, identity=replace(sheet.identity, side=side)), BOOK)


@pytest.fixture(scope="module")
def right() -> Ready:
    """A right shoulder."""
    return of_side("right")


def test_what_follows_the_hand_is_what_is_settled(right: Ready) -> None:
    """Answers, arm moves and hidden share while the arm turns equal those of the whole answer."""
    live, whole = live_view(right, POSE, ScopeOrder()), answer(right, POSE, draws=2)
    assert [cell["answer"] for cell in live["cells"]] == [row.answer for row in whole.reaches]
    assert [move["pose_words"] for move in live["moves"]] == [move.pose.words for move in whole.moves]
    assert live["hidden"]["share"] == pytest.approx(whole.hidden.share, abs=1e-3)
    assert all(cell["probability"] is None for cell in live["cells"])


def test_left_is_the_mirror_image_of_right(right: Ready) -> None:
    """Sites, portals and bones of a left shoulder are those of the right one with the lateral coordinate negated."""
    left = of_side("left")
    both = [(live_view(one, POSE, ScopeOrder()), scene_view(one)) for one in (right, left)]
    for found in (
        [[site["point"] for site in live["sites"]] for live, _ in both],
        [[portal["skin"] for portal in live["portals"]] for live, _ in both],
        [np.reshape(scene["arm"]["shaft"]["points"], (-1, 3)) for _, scene in both],
    ):
        np.testing.assert_allclose(np.array(found[0]) * [1, 1, -1], found[1], atol=1e-9)
    assert [c["answer"] for c in both[0][0]["cells"]] == [c["answer"] for c in both[1][0]["cells"]]


def test_a_left_arm_is_turned_hung_and_moved_as_the_mirror_image(right: Ready) -> None:
    """Points of a left arm, turned and hung as sent, are those of the right one with the lateral coordinate negated;
    so are the ways a portal goes; and blocks of either side are counted round as seen from outside."""
    hung, ways = [], []
    for one in (right, of_side("left")):
        live, scene = live_view(one, POSE, ScopeOrder()), scene_view(one)
        points = np.reshape(scene["arm"]["footprint"]["points"], (-1, 3))
        hung.append(points @ np.reshape(live["arm"]["turn"], (3, 3)).T + live["arm"]["head"])
        ways.append([lever["way"] for portal in live["portals"] for lever in portal["levers"]])
        for solid in scene["blocks"]:
            corners = np.reshape(solid["points"], (-1, 3))
            a, b, c = (corners[np.reshape(solid["triangles"], (-1, 3))[:, n]] for n in range(3))
            assert np.sum(a * np.cross(b, c)) > 0
    for first, second in (hung, ways):
        np.testing.assert_allclose(np.array(first) * [1, 1, -1], second, atol=1e-6)


def test_a_distance_typed_back_leaves_the_portal_where_it_is(right: Ready) -> None:
    """Every line for the marking pen that can be set: its cm, typed again, are the distance that stands."""
    lines = [
        (portal["place"][line["sets"]], line)
        for portal in live_view(right, POSE, ScopeOrder())["portals"]
        for line in portal["marking"]
        if line["sets"]
    ]
    assert len(lines) == 13
    for stands, line in lines:
        assert line["cm"] * line["per_cm"] == pytest.approx(stands, abs=0.006 * abs(line["per_cm"]))


def test_the_tube_holds_the_nerves_of_nine_in_ten(right: Ready) -> None:
    """4,000 drawn people, arm lifted by 32 degrees to the scapula: half of what lies between 5th and 95th percentile
    of their nerves, within 6 %."""
    scene, rng = right.scene, np.random.default_rng(3)
    lifted = POSE.abduction_degrees * scene.posing.rhythm
    people = [right.draw.population.draw(rng) for _ in range(4000)]
    nerves = scene.shoulder.forms.nerves
    drawn = [nerves.axillary(m.arm_length, m.nerve_shift, 0.5, lifted, most=False) for m in people]
    low, high = np.percentile(drawn, (5, 95))
    radius = live_view(right, POSE, ScopeOrder())["nerves"]["axillary"]["radius"]
    assert radius == pytest.approx((high - low) / 2, rel=0.06)


def test_drawn_blocks_are_those_that_are_struck(right: Ready) -> None:
    """Each drawn block is closed and counted outwards: its volume by the divergence theorem is positive, all corners
    lie on the block's faces."""
    for solid in right.scene.shoulder.acromion.blocks:
        mesh = block(solid)
        a, b, c = (mesh.vertices[mesh.triangles[:, n]] for n in range(3))
        assert np.sum(a * np.cross(b, c)) / 6 > 1000
        assert np.abs((mesh.vertices @ solid.normals.T - solid.offsets).max(axis=1)).max() < 1e-5


@pytest.mark.parametrize("tilt, space", [(0, "subacromial"), (1, "subacromial"), (0, "joint"), (1, "joint")])
def test_the_scope_looks_off_its_shaft_by_its_tilt(right: Ready, tilt: int, space: Compartment) -> None:
    """The direction of view leaves the shaft by 30 or 70 degrees, as the rows say, in either compartment."""
    scope = live_view(right, POSE, ScopeOrder(tilt=tilt, compartment=space))["scope"]
    shaft, ahead = np.subtract(scope["tip"], scope["skin"]), np.array(scope["ahead"])
    cosine = shaft @ ahead / np.linalg.norm(shaft) / np.linalg.norm(ahead)
    assert np.degrees(np.arccos(cosine)) == pytest.approx(scope["tilts"][tilt], abs=0.5)


def test_every_number_of_the_verdict_can_be_asked(right: Ready) -> None:
    """Each asked name in the verdict has an answer; nowhere does it say "safe"; a strange name is refused."""
    found = answer(right, POSE, draws=4)
    view = answer_view(right, found)
    names = [name for _, name in view["verdict"] if name]
    assert {"moves", "hidden"} <= set(names)
    texts = [explain(right, found, name)["text"] for name in (*names, "margin.lateral", "caution.nerve-estimate")]
    assert "population estimate" in texts[-2]
    assert "safe" not in " ".join([*texts, *(words for words, _ in view["verdict"])])
    with pytest.raises(Exception, match="is no result of Access"):
        explain(right, found, "margin.nowhere")


def test_an_angle_that_can_be_asked_says_what_turns_it(right: Ready) -> None:
    """The change told for the arm five degrees further is that of the path drawn with the arm there."""
    found = answer(right, POSE, draws=4)
    row = next(one for one in found.reaches if one.answer == "yes" and one.kind == "medial anchor")
    told = explain(right, found, f"reach.{row.portal}.{row.site}")
    assert 0 < len(told["movers"]) <= 2
    assert abs(told["movers"][0][1]) >= abs(told["movers"][-1][1])
    further = {
        "abduction, 5 degrees more": replace(row.pose, abduction_degrees=row.pose.abduction_degrees + 5),
        "outward rotation, 5 degrees more": replace(row.pose, rotation_degrees=row.pose.rotation_degrees + 5),
    }
    compared = 0
    for words in (words for words, _ in told["movers"] if words in further):
        cells = live_view(right, further[words], ScopeOrder())["cells"]
        there = next(cell for cell in cells if (cell["portal"], cell["site"]) == (row.portal, row.site))
        if there["answer"] == "yes":
            compared += 1
            assert dict(told["movers"])[words] == pytest.approx(there["angle"] - row.angle_degrees, abs=0.16)
    assert compared


def test_the_verdict_tells_the_least_sure_site_and_the_nearest_nerve(right: Ready) -> None:
    """Asked of the whole answer: no site in reach is less sure than the one named, no nerve nearer than the one told,
    and the arm to the trunk is one and a half times the arm to the scapula."""
    found = answer(right, Pose(15.0), draws=8)
    view, live = answer_view(right, found), live_view(right, Pose(15.0), ScopeOrder())
    told = {name: words for words, name in view["verdict"] if name}
    here = [best for best in map(found.best, {row.site for row in found.reaches}) if best.answer == "yes"]
    least = min(best.probability for best in here)
    sure = [best for best in here if f"reach.{best.portal}.{best.site}" in told]
    assert [best.probability for best in sure] == [least]
    (nerve,) = (name for name in told if name.startswith("margin."))
    lowest = min(found.margins, key=lambda one: one.floor)
    assert (nerve, told[nerve]) == (f"margin.{lowest.portal}", f"{lowest.floor:g} mm")
    assert live["trunk_degrees"] == 22.5


def test_the_axillary_nerve_is_drawn_on_the_deep_face_of_the_deltoid(right: Ready) -> None:
    """Where it comes nearest to the head, the bone under the deltoid begins: head and tuberosity, within 1 mm."""
    live, shoulder = live_view(right, Pose(15.0), ScopeOrder()), right.scene.shoulder
    away = np.linalg.norm(np.subtract(live["nerves"]["axillary"]["curve"], shoulder.head), axis=1)
    bone = shoulder.measures.head_radius + shoulder.measures.beyond_sphere
    assert away.min() == pytest.approx(bone, abs=1.0)


@pytest.mark.req("REQ-222")
def test_reach_on_the_repair_map_is_that_of_access(door: Door) -> None:
    """Each site is told as Access tells it: from a portal whose own cell says so in that arm position, the arm moved
    only where no portal reaches it still, from nowhere only where none does; a turned arm tells it anew."""
    key = door.open("large_l_shaped")
    told_anew = []
    for arm in (15.0, 50.0):
        assert door.give(key, "set-arm", {"abduction_degrees": arm}).status_code == 200
        reach = door.get(f"/api/cases/{key}/reach").json()
        assert reach["standing"].startswith(f"{arm:g} degrees abduction")
        cells = door.get(f"/api/cases/{key}/access").json()["live"]["cells"]
        assert {one["site"] for one in reach["sites"]} == {cell["site"] for cell in cells}
        for one in reach["sites"]:
            of_site = [cell for cell in cells if cell["site"] == one["site"]]
            best = min(("yes", "moved", "no").index(cell["answer"]) for cell in of_site)
            assert one["answer"] == ("yes", "moved", "no")[best]
            (cell,) = [cell for cell in of_site if cell["portal"] == one["portal"]]
            assert cell["answer"] == one["answer"]
            assert cell["pose"] == one["pose"] or one["answer"] == "no"
        told_anew.append([(one["site"], one["answer"], one["portal"]) for one in reach["sites"]])
    assert told_anew[0] != told_anew[1]


def test_arm_and_portals_are_kept_and_undone(tmp_path: Path) -> None:
    """A set arm and a moved portal are events: they survive a restart and are taken back one by one."""
    place = {"name": "lateral", "along": 0.4, "down": 28.0, "error": 3.0}
    with opened(tmp_path, QUICK) as door:
        key = door.open()
        assert door.give(key, "set-arm", {"abduction_degrees": 40.0, "place": "lateral decubitus"}).status_code == 200
        assert door.give(key, "move-portal", place).status_code == 200
    with opened(tmp_path, QUICK) as door:
        live = door.get(f"/api/cases/{key}/access").json()["live"]
        assert live["pose"]["abduction_degrees"] == 40.0
        lateral = next(one for one in live["portals"] if one["name"] == "lateral")
        assert (lateral["place"]["down"], lateral["own"], lateral["marking"][0]["cm"]) == (28.0, True, 2.8)
        door.give(key, "undo")
        door.give(key, "undo")
        live = door.get(f"/api/cases/{key}/access").json()["live"]
        assert live["pose"]["abduction_degrees"] == 15.0
        assert not any(one["own"] for one in live["portals"])


def test_a_repair_looks_from_the_arm_and_portals_that_stand(tmp_path: Path) -> None:
    """Once the arm is set or a portal moved, the settled answer is no longer the answer: an estimate from the new arm
    stands, the next one to settle is asked from there, and undo brings back the first at once."""
    place = {"name": "lateral", "along": 0.4, "down": 28.0, "error": 3.0}
    with opened(tmp_path, QUICK) as door:
        key = door.open()
        first = door.get(f"/api/cases/{key}/hold").json()["hold"]
        assert (first["approach"], door.board(key)["hold"]) == ({"arm": None, "portals": []}, first)
        for kind, payload in (("set-arm", {"abduction_degrees": 40.0}), ("move-portal", place)):
            door.give(key, kind, payload)
            shown = door.board(key)["hold"]
            settled = door.get(f"/api/cases/{key}/hold").json()["hold"]
            assert not any(one["settled"] for one in shown["scenarios"])
            assert all(one["settled"] for one in settled["scenarios"])
            assert shown["approach"] == settled["approach"]
        assert settled["approach"]["arm"]["abduction_degrees"] == 40.0
        assert [one["down"] for one in settled["approach"]["portals"]] == [28.0]
        door.give(key, "undo")
        door.give(key, "undo")
        assert door.board(key)["hold"] == first


def test_a_dead_computing_process_is_told_and_begun_anew(door: Door) -> None:
    """A process that ended between two questions: one sentence what to do, and the next question begins another."""
    desk, board = door.app.state.access, door.app.state.cases.now(door.open()).board

    class Dead:
        def submit(self, *_: object) -> None:
            raise BrokenProcessPool

    desk._pool = Dead()
    with pytest.raises(Refusal, match="turn the arm to start it again"):
        desk.answer("one", board)
    assert desk._pool is None
    assert desk.known(board) is None


@pytest.mark.parametrize(
    "kind, payload",
    [
        ("move-portal", {"name": "sideways", "along": 0.4, "error": 3.0}),
        ("move-portal", {"name": "lateral", "down": 28.0, "error": 3.0}),
        ("move-portal", {"name": "lateral", "along": 1.4, "down": 28.0, "error": 3.0}),
        ("set-arm", {"abduction_degrees": 400.0}),
        ("set-arm", {"abduction_degrees": "40"}),
    ],
)
def test_impossible_arms_and_portals_are_refused(door: Door, kind: str, payload: dict[str, object]) -> None:
    """An unknown portal, one without its place, an arm turned too far: 422 in one sentence, nothing stored."""
    key = door.open()
    seq = door.board(key)["seq"]
    refused = door.give(key, kind, payload)
    assert refused.status_code == 422
    assert kind in refused.json()["error"]
    assert door.board(key)["seq"] == seq


def test_without_a_pattern_it_says_what_it_needs(door: Door) -> None:
    """A case without a pattern: not computed, with what it needs, and an open loop on the thread."""
    sheet = demo_cases()["small_crescent"]
    bare = replace(sheet, plan=replace(sheet.plan, pattern=None))
    key = door.app.state.cases.open(bare, door.app.state.bench)
    found = door.get(f"/api/cases/{key}/access").json()
    assert found["live"] is None
    assert "needs a repair pattern" in found["refused"]
    assert "A repair pattern" in found["lacking"]
    assert '<li class="here">' in door.get(f"/cases/{key}/access").text
