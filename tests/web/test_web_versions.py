"""Edits and the shelf through the door."""

import time
from pathlib import Path
from typing import Any

import pytest

from tests.web.door import Door, opened
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door


def limbs(board: dict[str, Any]) -> set[str]:
    return {hole["name"] for hole in board["layout"]["holes"]}


@pytest.mark.req("REQ-214")
def test_edits_are_events_with_a_way_back_and_survive_a_restart(tmp_path: Path) -> None:
    """Each edit is one event in words; after a restart it stands, and undo gives the repair before it."""
    with opened(tmp_path, QUICK) as door:
        key = door.open()
        before = door.board(key)["layout"]
        board = door.give(key, "add-anchor", {"row": "lateral", "u": 13.0, "v": 24.0}).json()
        assert (board["seq"], board["undo"]) == (3, "anchor L3 added")
        board = door.give(key, "route-limb", {"name": "1aB", "to": "L3"}).json()
        assert board["layout"]["edited"] is True
        assert door.give(key, "change-implant", {"anchor": "L3", "implant": "threaded-5.0"}).status_code == 200
    with opened(tmp_path, QUICK) as door:
        after = door.board(key)
        assert next(a for a in after["layout"]["anchors"] if a["name"] == "L3")["implant"] == "threaded-5.0"
        assert door.give(key, "remove-limb", {"name": "1aB"}).json()["undo"] == "limb 1aB removed"
        assert limbs(door.board(key)) == {"1aF", "2aF", "2aB"}
        for _ in range(4):
            assert door.give(key, "undo").status_code == 200
        assert door.board(key)["layout"] == before


@pytest.mark.req("REQ-215")
def test_the_shelf_keeps_four_versions_and_gives_them_back(door: Door) -> None:
    """Versions are kept by name, a fifth and a double name are refused, one is taken back whole, all with undo."""
    key = door.open()
    first = door.board(key)["layout"]
    for name in ("A", "B", "C", "D"):
        assert door.give(key, "keep-version", {"name": name}).status_code == 200
    assert "as many as can be compared" in door.give(key, "keep-version", {"name": "E"}).json()["error"]
    assert door.give(key, "drop-version", {"name": "D"}).status_code == 200
    assert "choose another name" in door.give(key, "keep-version", {"name": "A"}).json()["error"]
    door.give(key, "choose-pattern", {"name": "double-row"})
    board = door.give(key, "take-version", {"name": "A"}).json()
    assert board["layout"] == first
    assert board["undo"] == "A taken"
    assert [one["name"] for one in board["shelf"]] == ["A", "B", "C"]
    door.give(key, "undo")
    assert door.board(key)["layout"]["pattern"] == "double-row"
    for strange in ({"name": ""}, {"name": "   "}, {"name": "x" * 41}, {"name": "a\nb"}, {}, {"name": "A", "more": 1}):
        assert door.give(key, "keep-version", strange).status_code == 422, strange


@pytest.mark.req("REQ-215")
def test_versions_are_compared_by_what_they_hold(door: Door) -> None:
    """Each version comes with what tells it from the repair that stands and with the same answer a case would give."""
    key = door.open()
    door.give(key, "keep-version", {"name": "knotted"})
    own = door.get(f"/api/cases/{key}/hold").json()["hold"]
    door.give(key, "choose-pattern", {"name": "double-row"})
    (one,) = door.get(f"/api/cases/{key}/versions").json()["versions"]
    assert one["done"] is True
    assert one["hold"]["scenarios"] == own["scenarios"]
    told = door.get(f"/api/cases/{key}/ask/version.1.gap.fair").json()["answer"]
    assert told["value"].startswith(f"{own['scenarios'][1]['gap']['middle']:g} mm")
    for strange in ("version.2.gap.fair", "version.x.gap.fair", "version.1.colour", "version.", "limbs.moves"):
        assert 400 <= door.get(f"/api/cases/{key}/ask/{strange}").status_code < 500, strange
    assert one["differences"][0] == "Bridging 2 + 2, medial knots instead of Double row, unlinked"
    spot = one["layout"]["anchors"][1]
    door.give(key, "take-version", {"name": "knotted"})
    door.give(key, "move-anchor", {"name": "2", "u": spot["u"] + 2, "v": spot["v"]})
    door.give(key, "keep-version", {"name": "wider"})
    door.give(key, "undo")
    door.give(key, "redo")
    for _ in range(100):
        found = door.get(f"/api/cases/{key}/versions").json()["versions"]
        if all(version["done"] for version in found):
            break
        time.sleep(0.05)
    assert [version["differences"] for version in found] == [["anchor 2 2.0 mm forward"], []]
    other = door.get(f"/api/cases/{key}/versions?against=wider").json()["versions"]
    assert [version["differences"] for version in other] == [["anchor 2 2.0 mm forward"], []]
    mine = door.get(f"/api/cases/{key}/versions?against=knotted").json()["versions"]
    assert [version["differences"] for version in mine] == [[], ["anchor 2 2.0 mm back"]]
    assert door.get(f"/api/cases/{key}/versions?against=none").status_code == 422
    assert found[1]["hold"]["scenarios"][0]["ultimate"]["middle"] > own["scenarios"][0]["ultimate"]["middle"]
