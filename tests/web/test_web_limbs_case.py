"""The page Limbs over real cases: their plan, moves on Repair, an arm turned, a mishap, a pattern that is refused."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from cuffwright.evidence.book import load_book
from cuffwright.web.limbs_case import case_desk
from tests.cli.test_limbs_verb import log
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the cases."""
    return Path(tmp_path_factory.mktemp("limbs")) / "cases"


@pytest.fixture(scope="module")
def door(folder: Path) -> Iterator[Door]:
    """One app whose limbs come from the case."""
    with opened(folder, QUICK, limbs=case_desk(load_book(), folder)) as one:
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


def test_the_usual_order_stands_beside_the_plan(door: Door, key: str) -> None:
    """28 moves usually and 20 here, each difference with its reason, and the differences add up to the eight."""
    found = door.get(f"/api/cases/{key}/limbs/usual").json()
    assert found["not_computed"] == ""
    assert found["counts"][0] == ["Moves", 28, 20]
    assert len(found["steps"]) == 28
    assert sum(usual - here for _, usual, here, _ in found["differences"]) == 8
    assert all(len(reason) > 20 for *_, reason in found["differences"])


@pytest.mark.req("REQ-209")
def test_a_set_of_portals_is_rehearsed_or_refused_by_name(door: Door, key: str) -> None:
    """Without a set the fewest stand by name; one that is chosen is planned with, one nobody knows is refused."""
    path = f"/api/cases/{key}/limbs/play"
    fewest = door.post(path, json={"events": []}).json()
    five = door.post(path, json={"events": [], "portals": "five"}).json()
    assert (fewest["portals"], five["portals"]) == ("four", "five")
    assert [len(one["field"]["portals"]) for one in (fewest, five)] == [4, 5]
    assert {"fewest", "four", "five"} <= set(five["sets"])
    assert door.get(f"/api/cases/{key}/limbs/usual?portals=five").json()["counts"][0][2] == five["plan"]["moves"]
    refused = door.post(path, json={"events": [], "portals": "nine"})
    assert refused.status_code == 422
    assert "no set of portals nine" in refused.json()["error"]


@pytest.mark.req("REQ-173")
def test_minutes_come_from_the_log_in_the_folder_of_the_cases(door: Door, key: str, folder: Path) -> None:
    """Ten operations logged give this plan's minutes, nine say what they lack, and a broken line is named."""

    def told() -> str:
        plan = door.post(f"/api/cases/{key}/limbs/play", json={"events": []}).json()["plan"]
        return "".join(words for words, _ in plan["verdict"])

    assert "not computed, needs minutes logged at this site" in told()
    place = folder / "minutes.csv"
    log(place, 9)
    assert "needs 10 operations logged at this site with their minutes; there are 9" in told()
    log(place, 10)
    by_hand = 2 * 2.0 + 10 * 0.5 + 4 * 1.5 + 2 * 3.0 + 2 * 4.0
    assert f"Time: {by_hand:g} min." in told()
    place.write_text("insert,minutes\n1,2\n", "utf-8")
    assert "needs a log that can be read: minutes.csv line 2" in told()
    place.unlink()


@pytest.mark.req("REQ-208")
def test_a_wrong_limb_is_taken_back_as_a_step_of_the_new_plan(door: Door, key: str) -> None:
    """A limb through the hole of another, to be taken back: that is step 1, and the limb is passed again later."""
    path = f"/api/cases/{key}/limbs/play"
    steps = door.post(path, json={"events": []}).json()["plan"]["steps"]
    first = next(k for k, step in enumerate(steps) if step["move"]["kind"] == "pass")
    events = [{"move": step["move"]} for step in steps[: first + 1]]
    events.append({"mishap": {"kind": "wrong limb", "name": "1aF", "limb": "1aB", "answer": "unpass"}})
    plan = door.post(path, json={"events": events}).json()["plan"]
    assert plan["steps"][0]["words"].startswith("Take 1aB back out of its hole")
    assert plan["steps"][0]["phase"] == "correct"
    passed = [step["move"]["limbs"] for step in plan["steps"] if step["move"]["kind"] == "pass"]
    assert ["1aB"] in passed
    onward = door.post(path, json={"events": [*events, {"move": plan["steps"][0]["move"]}]}).json()
    assert len(onward["plan"]["steps"]) == len(plan["steps"]) - 1


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
