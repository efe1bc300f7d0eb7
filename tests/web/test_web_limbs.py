"""The limbs of a case in process: the plan walked, a learner's moves judged, mishaps, the cards; nothing is stored."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from cuffwright.web.limbs_asking import COUNTS
from tests.web.door import Door, opened
from tests.web.limb_desk import desk
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door

Point = dict[str, Any]


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """One app for all tests of this file."""
    with opened(Path(tmp_path_factory.mktemp("limbs")) / "cases", QUICK, limbs=desk()) as one:
        yield one


@pytest.fixture(scope="module")
def key(door: Door) -> str:
    """A small tear, bridged with knots."""
    return door.open("small_crescent")


def play(door: Door, key: str, events: list[Any] | None = None) -> Point:
    """Where a rehearsal stands."""
    answer = door.post(f"/api/cases/{key}/limbs/play", json={"events": events or []})
    assert answer.status_code == 200, answer.text
    found: Point = answer.json()
    return found


def judged(door: Door, key: str, events: list[Any], move: Any, anyway: bool = False) -> Point:
    """What the judge says of a move."""
    answer = door.post(f"/api/cases/{key}/limbs/judge", json={"events": events, "move": move, "anyway": anyway})
    assert answer.status_code == 200, answer.text
    found: Point = answer.json()
    return found


def after(point: Point, kind: str, which: int = -1) -> list[Any]:
    """The plan's moves up to and with one of its moves of a kind, as events."""
    places = [i for i, step in enumerate(point["plan"]["steps"]) if step["move"]["kind"] == kind]
    return [{"move": step["move"]} for step in point["plan"]["steps"][: places[which] + 1]]


def test_the_plan_stands_with_a_state_before_and_after_each_step(door: Door, key: str) -> None:
    """One state more than steps; at the end no limb hangs out of a portal; every number of the verdict can be asked."""
    point = play(door, key)
    plan = point["plan"]
    assert len(plan["states"]) == len(plan["steps"]) + 1
    assert {stage for stage, _ in plan["states"][0]["limbs"]} == {"outside"}
    assert {stage for stage, _ in plan["states"][-1]["limbs"]} <= {"fixed", "cut"}
    assert f"{plan['moves']} moves" in "".join(words for words, _ in plan["verdict"])
    names = {name for _, name in plan["verdict"] if name}
    assert {"moves", "bound", "tangle", "retrievals", "pulls", "parked", "minutes"} <= names
    for name in names:
        answer = door.post(f"/api/cases/{key}/limbs/ask/{name}", json={"events": []}).json()["answer"]
        assert answer["meaning"]
        assert answer["value"] in answer["text"]
        assert bool(answer["moved_how"]) is (name in COUNTS)
        for words, change in answer["movers"]:
            assert f"{words}: {change:+g} {answer['moved_unit']}" in answer["text"]
    assert door.post(f"/api/cases/{key}/limbs/ask/weather", json={"events": []}).status_code == 422


@pytest.mark.req("REQ-184")
def test_an_illegal_move_is_not_made_and_its_reason_and_remedy_are_told(door: Door, key: str) -> None:
    """A pass before all anchors are in: not made, with the rule that binds first and what to do."""
    point = play(door, key)
    events = after(point, "insert", 0)
    limb = point["field"]["limbs"][0]["name"]
    park = point["plan"]["steps"][0]["move"]["to"]
    move = {"kind": "pass", "limbs": [limb], "source": park, "to": park}
    found = judged(door, key, events, move)
    assert found["made"] is None
    stops = [one for one in found["findings"] if one["severity"] == "illegal"]
    assert "anchors-first" in {one["rule"] for one in stops}
    assert all(one["text"] and one["remedy"] for one in stops)
    assert judged(door, key, events, move, anyway=True)["made"] is None


@pytest.mark.req("REQ-184")
def test_a_risk_is_told_first_and_made_only_when_taken(door: Door, key: str) -> None:
    """One limb of a passed pair fetched alone into the cannula: told as a risk; made, and longer, once taken."""
    point = play(door, key)
    events = after(point, "pass")
    steps = point["plan"]["steps"]
    grasp = next(
        s["move"] for s in steps[len(events) :] if s["move"]["kind"] == "retrieve" and len(s["move"]["limbs"]) == 2
    )
    alone = {**grasp, "limbs": grasp["limbs"][:1], "under": []}
    found = judged(door, key, events, alone)
    assert found["made"] is None
    assert [one["rule"] for one in found["findings"] if one["severity"] == "risk"] == ["brought-alone"]
    taken = judged(door, key, events, alone, anyway=True)
    assert taken["made"]["done"] == play(door, key, events)["done"] + 1
    assert taken["longer"] > 0


def test_whoever_follows_the_plan_is_never_stopped(door: Door, key: str) -> None:
    """Every move of the plan passes the judge without a stop or a risk and costs nothing more; then nothing is left."""
    point = play(door, key)
    events: list[Any] = []
    for step in point["plan"]["steps"]:
        found = judged(door, key, events, step["move"])
        assert {one["severity"] for one in found["findings"]} <= {"note"}
        assert found["longer"] == 0
        events.append({"move": step["move"]})
    assert found["made"]["plan"]["steps"] == []
    assert found["made"]["done"] == point["plan"]["moves"]


@pytest.mark.req("REQ-185")
def test_a_rehearsal_stores_nothing(door: Door, key: str) -> None:
    """Moves made and mishaps entered leave the case's sequence number and what stands as they were."""
    before = door.board(key)
    point = play(door, key)
    events = after(point, "insert", 0)
    judged(door, key, events, point["plan"]["steps"][len(events)]["move"])
    play(door, key, [*events, {"mishap": {"kind": "anchor out", "name": point["field"]["carriers"][0]["name"]}}])
    assert door.board(key)["seq"] == before["seq"]
    assert door.board(key)["layout"] == before["layout"]


@pytest.mark.req("REQ-186")
def test_after_a_mishap_the_plan_is_new_and_what_changed_is_said(door: Door, key: str) -> None:
    """The last anchor out: its limbs are gone, the new plan ends the others and says what changed."""
    point = play(door, key)
    events = after(point, "pass", 1)
    lost = point["field"]["carriers"][-1]["name"]
    found = play(door, key, [*events, {"mishap": {"kind": "anchor out", "name": lost}}])
    assert found["changes"]
    gone = [limb for s in found["field"]["sutures"] if s["carrier"] == lost for limb in s["limbs"]]
    names = [limb["name"] for limb in found["field"]["limbs"]]
    last = found["plan"]["states"][-1]["limbs"]
    assert {last[names.index(limb)][0] for limb in gone if limb in names} <= {"removed"}
    assert {stage for stage, _ in last} <= {"removed", "fixed", "cut"}
    proof = "".join(words for words, _ in found["plan"]["verdict"])
    assert "proven by" in proof or "above the least possible" in proof


def test_what_makes_no_move_is_refused_in_a_sentence(door: Door, key: str) -> None:
    """A pass of two limbs, an unknown limb, a move and a mishap at once, a field nobody knows: 422 and what to do."""
    two = {"kind": "pass", "limbs": ["1aF", "1aB"], "source": "lateral", "to": "lateral"}
    strange = {"kind": "retrieve", "limbs": ["9zF"], "source": "lateral", "to": "anterior"}
    for body in (
        {"events": [], "move": two},
        {"events": [], "move": strange},
        {
            "events": [{"move": two | {"limbs": ["1aF"]}, "mishap": {"kind": "anchor out", "name": "1"}}],
            "move": strange,
        },
        {"events": [], "move": {"kind": "dance"}},
    ):
        answer = door.post(f"/api/cases/{key}/limbs/judge", json=body)
        assert answer.status_code == 422
        assert len(answer.json()["error"]) > 20


def test_page_scene_and_cards_of_a_case(door: Door, key: str) -> None:
    """The page names the place; portals and holes of the plan have places in three dimensions; the cards are a PDF."""
    page = door.get(f"/cases/{key}/limbs")
    assert page.status_code == 200
    assert "a rehearsal: nothing here is stored or done" in page.text
    point = play(door, key)
    scene = door.get(f"/api/cases/{key}/limbs/scene").json()
    assert {portal["name"] for portal in point["field"]["portals"]} <= set(scene["portals"])
    assert {limb["name"] for limb in point["field"]["limbs"]} <= set(scene["sites"])
    pdf = door.get(f"/cases/{key}/limbs/cards.pdf")
    assert pdf.headers["content-type"] == "application/pdf"
    text = PdfReader(io.BytesIO(pdf.content)).pages[0].extract_text()
    assert "RIGHT shoulder" in text
    assert "not for care" in text


def test_anterior_lies_on_the_side_of_the_case(door: Door, key: str) -> None:
    """A right shoulder has anterior at the right edge of the map, a left one at the left."""
    assert play(door, key)["field"]["anterior"] == "right"
    left = door.open("large_l_shaped")
    answer = door.post(f"/api/cases/{left}/limbs/play", json={"events": []})
    assert answer.status_code == 200, answer.text
    assert answer.json()["field"]["anterior"] == "left"


def test_without_a_desk_there_is_no_page_and_no_way_to_it(door: Door, key: str, tmp_path: Path) -> None:
    """Repair leads to the limbs where they are planned, and only there."""
    assert f"/cases/{key}/limbs" in door.get(f"/cases/{key}/repair").text
    with opened(tmp_path / "cases", QUICK) as bare:
        other = bare.open("small_crescent")
        assert "/limbs" not in bare.get(f"/cases/{other}/repair").text
        assert bare.get(f"/cases/{other}/limbs").status_code == 404
