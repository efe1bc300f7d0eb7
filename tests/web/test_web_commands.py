"""Cases and commands through the door."""

import json
from pathlib import Path
from typing import Any

import pytest

from cuffwright.exchange.case_file import write_case
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.plain import layout_from_plain
from cuffwright.web.thread import PRESENT
from tests.web.door import Door, opened
from tests.web.quick_course import QUICK, strength

pytestmark = pytest.mark.door


def anchor(board: dict[str, Any], name: str) -> dict[str, Any]:
    return next(a for a in board["layout"]["anchors"] if a["name"] == name)


@pytest.mark.req("REQ-002", "REQ-054")
def test_a_demo_case_opens_with_its_planned_pattern(door: Door) -> None:
    """A demo case stands in the list with side in words, patient key, date, pattern and the mark invented."""
    key = door.open()
    (row,) = door.get("/api/cases").json()["cases"]
    assert (row["key"], row["side"], row["patient"]) == (key, "right", "demo-crescent")
    assert row["pattern"] == "bridging-knotted"
    assert row["invented"] is True
    page = door.get("/").text
    assert "RIGHT shoulder" in page
    assert "demo-crescent" in page
    assert "invented" in page
    assert "2026-12-08" in page


def test_a_case_file_opens_as_it_was_written(door: Door) -> None:
    """A case file sent as text becomes a case with the same identity."""
    sheet = demo_cases()["large_l_shaped"]
    answer = door.post("/api/cases", json={"toml": write_case(sheet)})
    assert answer.status_code == 201
    board = door.board(answer.json()["key"])
    assert board["identity"]["side_words"] == "LEFT shoulder"
    assert board["layout"]["pattern"] == "double-row"


def test_a_move_is_stored_once_and_seen_after_a_restart(tmp_path: Path) -> None:
    """A moved anchor stands where it was put when the program is started again on the same folder."""
    with opened(tmp_path, QUICK) as door:
        key = door.open()
        spot = anchor(door.board(key), "1")
        moved = door.give(key, "move-anchor", {"name": "1", "u": spot["u"] + 1, "v": spot["v"] + 0.5})
        assert moved.status_code == 200
        assert moved.json()["seq"] == 3
    with opened(tmp_path, QUICK) as door:
        board = door.board(key)
        assert (anchor(board, "1")["u"], anchor(board, "1")["v"]) == (spot["u"] + 1, spot["v"] + 0.5)
        assert board["undo"] == "anchor 1 moved"
        assert door.give(key, "undo").status_code == 200
        assert anchor(door.board(key), "1") == spot
        assert door.give(key, "redo").status_code == 200
        assert anchor(door.board(key), "1")["u"] == spot["u"] + 1


@pytest.mark.req("REQ-033")
def test_a_command_sent_twice_is_stored_once(door: Door) -> None:
    """The same command id again gives what stands, and no second event."""
    key = door.open()
    hole = door.board(key)["layout"]["holes"][0]
    payload = {"name": hole["name"], "u": hole["u"], "v": hole["v"] + 1}
    first = door.give(key, "move-hole", payload, id="the-same-id", expected=2)
    again = door.give(key, "move-hole", payload, id="the-same-id", expected=2)
    assert (first.status_code, again.status_code) == (200, 200)
    assert first.json()["seq"] == again.json()["seq"] == 3


@pytest.mark.req("REQ-025")
def test_a_stale_command_is_told_what_changed(door: Door) -> None:
    """A command on an old sequence number is refused with 409, the changes in words and the board as it stands."""
    key = door.open()
    hole = door.board(key)["layout"]["holes"][0]
    payload = {"name": hole["name"], "u": hole["u"], "v": hole["v"] + 1}
    assert door.give(key, "move-hole", payload, expected=2).status_code == 200
    stale = door.give(key, "choose-pattern", {"name": "double-row"}, expected=2)
    assert stale.status_code == 409
    answer = stale.json()
    assert answer["changed"] == [{"seq": 3, "words": f"limb {hole['name']} moved"}]
    assert f"limb {hole['name']} moved" in answer["error"]
    assert answer["board"]["seq"] == 3
    assert door.board(key)["layout"]["pattern"] == "bridging-knotted"


def test_every_pattern_can_be_chosen_and_undone(door: Door) -> None:
    """Every pattern is laid on this tear or says why not; choosing and undoing them comes back to the first."""
    key = door.open()
    before = door.board(key)["layout"]
    shown = door.get(f"/api/cases/{key}/patterns").json()["patterns"]
    assert all((one["layout"] is None) == bool(one["refused"]) for one in shown)
    shown = [one for one in shown if one["layout"]]
    assert len(shown) > 5
    for pattern in shown:
        board = door.give(key, "choose-pattern", {"name": pattern["name"]}).json()
        assert board["layout"] == pattern["layout"]
    for _ in shown:
        door.give(key, "undo")
    assert door.board(key)["layout"] == before


@pytest.mark.req("REQ-052")
def test_an_anchor_off_the_bone_is_refused_in_one_sentence(door: Door) -> None:
    """Moving an anchor onto the cartilage is refused and nothing is stored."""
    key = door.open()
    answer = door.give(key, "move-anchor", {"name": "1", "u": 8.0, "v": -5.0})
    assert answer.status_code == 422
    assert "off the bone" in answer.json()["error"]
    assert door.board(key)["seq"] == 2


@pytest.mark.req("REQ-055")
def test_a_trial_answers_and_stores_nothing(door: Door) -> None:
    """An estimate while something moves follows the layout tried, is marked as not settled, and leaves no event."""
    key = door.open()
    door.get(f"/api/cases/{key}/hold")
    board = door.board(key)
    spot = anchor(board, "2")
    payload = {"name": "2", "u": spot["u"] + 1.0, "v": spot["v"]}
    hold = door.post(f"/api/cases/{key}/try", json={"kind": "move-anchor", "payload": payload}).json()["hold"]
    assert not any(s["settled"] for s in hold["scenarios"])
    assert hold["scenarios"][0]["ultimate"]["middle"] == strength(layout_from_plain(board["layout"])) + 3.0
    assert door.board(key) == board


def test_the_archive_takes_a_case_away_and_gives_it_back(door: Door) -> None:
    """The plain forms archive a case and bring it back; it stays readable meanwhile."""
    key = door.open()
    assert door.post(f"/cases/{key}/archive").status_code == 303
    assert door.get("/api/cases").json()["cases"][0]["archived"] is True
    assert "Bring back" in door.get("/").text
    assert door.get(f"/cases/{key}/repair").status_code == 200
    assert door.post(f"/cases/{key}/restore").status_code == 303
    assert door.get("/api/cases").json()["cases"][0]["archived"] is False


def test_the_plain_form_opens_a_demo_case(door: Door) -> None:
    """Without scripts a demo case opens too, and the browser is led to its repair."""
    answer = door.post("/cases", content="demo=small_crescent")
    assert answer.status_code == 303
    assert door.get(answer.headers["location"]).status_code == 200


@pytest.mark.req("REQ-013")
def test_a_tear_outside_validity_opens_and_says_why(door: Door) -> None:
    """A partial tear opens with its identity; in place of numbers stands the reason."""
    text = write_case(demo_cases()["small_crescent"]).replace("full_thickness = true", "full_thickness = false")
    answer = door.post("/api/cases", json={"toml": text})
    assert answer.status_code == 201, answer.text
    board = door.board(answer.json()["key"])
    assert board["hold"] is None
    assert "partial thickness" in board["refused"]
    assert door.get(f"/api/cases/{board['key']}/hold").status_code == 404


@pytest.mark.req("REQ-002", "REQ-027", "REQ-050")
@pytest.mark.parametrize("place", ["repair", "tear", "theatre", "record"])
def test_every_place_names_side_patient_version_and_purpose(door: Door, place: str) -> None:
    """Each place carries side in words, patient key, date, version, edition and what it is for."""
    key = door.open("large_l_shaped")
    page = door.get(f"/cases/{key}/{place}").text
    edition = door.board(key)["edition"]
    for words in ("LEFT shoulder", "demo-l-shaped", "2026-12-10", "invented", "teaching and planning, not for care"):
        assert words in page
    assert f"evidence edition {edition}" in page
    assert "planning and teaching support; the surgeon decides" in page


def test_the_thread_shows_seven_places_and_links_only_those_that_exist(door: Door) -> None:
    """All seven places are named in order; those of later releases are no links."""
    key = door.open()
    page = door.get(f"/cases/{key}/repair").text
    nav = page[page.index('<nav class="thread"') : page.index("</nav>")]
    places = ["Images", "Tear", "Access", "Repair", "Theatre", "Record", "Follow-up"]
    at = [nav.index(f">{name}<") for name in places]
    assert at == sorted(at)
    assert nav.count("<a ") == len(PRESENT)
    assert nav.count(">later<") == len(places) - len(PRESENT)
    assert nav.count('aria-current="page"') == 1


@pytest.mark.req("REQ-020")
def test_the_tear_lists_unknown_measures_first_with_what_they_block(door: Door) -> None:
    """Unknown measures come first and say what stays open; known ones carry value, SD, unit, origin and trace."""
    page = door.get(f"/cases/{door.open()}/tear").text
    unknown, known = page.index("Tissue quality, felt in theatre"), page.index("Width of the tear, front to back")
    assert unknown < known
    assert "Leaves open: a single answer; good, fair and poor are shown side by side." in page
    width = demo_cases()["small_crescent"].tear.width_mm
    assert f"{width.value:g} mm, SD {width.sd:g} mm</button></span>, typed in." in page
    assert f"Trace: {width.trace}." in page


def test_words_of_a_case_are_never_read_as_markup(door: Door) -> None:
    """A title with markup is shown as text on every page."""
    text = write_case(demo_cases()["small_crescent"]).replace("Small crescent tear", "<img src=x onerror=alert(1)>")
    key = door.post("/api/cases", json={"toml": text}).json()["key"]
    for path in ("/", f"/cases/{key}/repair", f"/cases/{key}/tear"):
        page = door.get(path).text
        assert "<img" not in page
        assert "&lt;img" in page


def test_the_interface_describes_itself(door: Door) -> None:
    """The description of the interface is served and names every route the page uses."""
    paths = json.loads(door.get("/api/openapi.json").text)["paths"]
    for path in (
        "",
        "/{key}",
        "/{key}/commands",
        "/{key}/try",
        "/{key}/hold",
        "/{key}/hold/stream",
        "/{key}/ask/{name}",
    ):
        assert f"/api/cases{path}" in paths
