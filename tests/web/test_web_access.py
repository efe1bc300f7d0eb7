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
