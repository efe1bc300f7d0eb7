"""The page Limbs over real cases: their plan, moves on Repair, an arm turned, a mishap, a pattern that is refused."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from cuffwright.evidence.book import load_book
from cuffwright.web.limbs_case import case_desk
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """One app whose limbs come from the case."""
    with opened(Path(tmp_path_factory.mktemp("limbs")) / "cases", QUICK, limbs=case_desk(load_book())) as one:
        yield one


@pytest.fixture(scope="module")
def key(door: Door) -> str:
    """A small tear, bridged with knots."""
    return door.open("small_crescent")


def test_the_plan_of_the_page_is_that_of_the_case(door: Door, key: str) -> None:
    """Every limb of the laid repair is in the field, and Repair tells the number of moves the page walks."""
    played = door.post(f"/api/cases/{key}/limbs/play", json={"events": []}).json()
    holes = {hole["name"] for hole in door.board(key)["layout"]["holes"]}
    assert {limb["name"] for limb in played["field"]["limbs"] if limb["holed"]} == holes
    moves = played["plan"]["moves"]
    words = door.get(f"/api/cases/{key}/limbs/moves").json()["words"]
    assert words.startswith(f"{moves} moves")
    assert "limb-moves" in door.get(f"/cases/{key}/repair").text


@pytest.mark.req("REQ-174")
def test_a_mishap_gives_a_new_plan_for_what_is_left(door: Door, key: str) -> None:
    """With the first anchor out once it was in, its limbs are removed and the others still come to an end."""
    path = f"/api/cases/{key}/limbs/play"
    first = door.post(path, json={"events": []}).json()["plan"]["steps"][0]["move"]
    mishap = {"mishap": {"kind": "anchor out", "name": first["anchor"]}}
    found = door.post(path, json={"events": [{"move": first}, mishap]}).json()
    assert found["changes"]
    lost = dict(zip((limb["name"] for limb in found["field"]["limbs"]), found["state"]["limbs"], strict=True))
    assert lost["1aF"][0] == lost["1aB"][0] == "removed"
    assert found["plan"]["steps"]
    assert not any("1aF" in step["move"]["limbs"] for step in found["plan"]["steps"])


def test_a_repair_without_an_order_says_so_where_it_is_asked(door: Door) -> None:
    """Of a repair whose anchor no portal reaches the page says that, instead of a plan."""
    key = door.open("elderly_soft_bone")
    assert door.give(key, "choose-pattern", {"name": "medialised"}).status_code == 200
    answer = door.get(f"/api/cases/{key}/limbs/moves")
    assert answer.status_code == 200
    assert "not computed: no order of work: anchor 1 is reached from none" in answer.json()["words"]


def test_anchors_one_behind_the_other_go_in_by_the_portals_that_reach_them(door: Door) -> None:
    """An unlinked double row: each anchor by a portal that reaches it, though two lie at one place of the tear."""
    key = door.open("small_crescent")
    assert door.give(key, "choose-pattern", {"name": "double-row"}).status_code == 200
    played = door.post(f"/api/cases/{key}/limbs/play", json={"events": []}).json()
    inserted = {s["move"]["anchor"]: s["move"]["to"] for s in played["plan"]["steps"] if s["move"]["kind"] == "insert"}
    assert set(inserted) == {"1", "2", "L1", "L2"}
    cells = door.get(f"/api/cases/{key}/access").json()["live"]["cells"]
    reached = {(cell["site"], cell["portal"]) for cell in cells if cell["answer"] != "no"}
    assert all((anchor, portal) in reached for anchor, portal in inserted.items())


def test_theatre_walks_the_plan_of_limbs_and_confirms_its_portals_by_needle(door: Door, key: str) -> None:
    """Every step of the plan stands in theatre in its order, with where limbs wait; a portal that only the plan uses
    is confirmed by needle before it is used."""
    plan = door.post(f"/api/cases/{key}/limbs/play", json={"events": []}).json()["plan"]
    steps = door.get(f"/api/cases/{key}/theatre").json()["steps"]
    titles = [step["title"] for step in steps]
    words = [step["words"] for step in plan["steps"]]
    assert len(words) > 10
    assert [title for title in titles if title in words] == words
    walked = [step for step in steps if step["title"] in words]
    passed = [step for step in walked if step["title"].startswith("Pass ")]
    assert len(passed) == len(door.board(key)["layout"]["holes"])
    for step in passed:
        assert [portal for portal, limbs in step["parked"] if step["limbs"][0] in limbs] == [step["portals"][-1]]
    confirmed = {
        step["title"].split(": ")[1]: at for at, step in enumerate(steps) if step["title"].startswith("Portal: ")
    }
    for at, step in enumerate(steps):
        assert all(confirmed[portal] < at for portal in step["portals"] if step in walked)
    assert "needle" in steps[confirmed["accessory superolateral"]]["words"]
