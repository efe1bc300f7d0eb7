"""Measures and findings written on the page: once, strictly, with a way back."""

from pathlib import Path
from typing import Any

import pytest

from tests.web.door import Door, opened
from tests.web.quick_course import QUICK, settle

pytestmark = pytest.mark.door

WIDTH = {"value": 18.0, "sd": 1.0, "origin": "probe", "trace": "after debridement"}


def form(path: str, expected: int, **fields: str) -> dict[str, str]:
    return {"path": path, "expected": str(expected), **fields}


@pytest.mark.req("REQ-210")
def test_a_measure_is_written_with_all_its_parts_and_taken_back(tmp_path: Path) -> None:
    """Value, SD, origin and trace stand on the page, survive a restart, and undo brings the old measure back."""
    with opened(tmp_path, QUICK) as door:
        key = door.open()
        board = door.give(key, "set-measures", {"values": {"tear.width_mm": WIDTH}}).json()
        assert board["tear"]["width_mm"] == WIDTH
        assert board["undo"] == "width of the tear set"
    with opened(tmp_path, QUICK) as door:
        words = door.get(f"/cases/{key}/tear").text
        assert "18 mm, SD 1 mm</button></span>, felt with the probe" in words
        assert "Trace: after debridement." in words
        assert door.give(key, "undo").json()["tear"]["width_mm"]["value"] == 14.0
        assert "14 mm, SD 1.5 mm</button></span>, typed in" in door.get(f"/cases/{key}/tear").text


@pytest.mark.req("REQ-211")
def test_a_repair_as_laid_follows_the_tear_and_one_moved_by_hand_stays(door: Door) -> None:
    """An untouched pattern is laid anew on a wider tear, as if chosen there; a moved anchor stays where it was put."""
    key = door.open()
    before = door.board(key)["layout"]
    wider = door.give(key, "set-measures", {"values": {"tear.width_mm": WIDTH}}).json()["layout"]
    assert wider != before
    assert door.give(key, "choose-pattern", {"name": "bridging-knotted"}).json()["layout"] == wider
    spot = wider["anchors"][0]
    moved = door.give(key, "move-anchor", {"name": "1", "u": spot["u"] + 1, "v": spot["v"]}).json()["layout"]
    again = door.give(key, "set-measures", {"values": {"tear.width_mm": {**WIDTH, "value": 20.0}}}).json()
    assert again["layout"] == moved
    assert again["chart"]["strip"]["width"] == 20.0
    assert again["refused"] is None
    small = door.give(key, "set-measures", {"values": {"tear.width_mm": {**WIDTH, "value": 8.0}}}).json()
    assert small["layout"] == moved
    assert "18 mm then, 8 mm now" in small["older"]["words"]
    assert "misses the torn tendon" in small["refused"]
    assert small["hold"] is None


def test_a_plain_form_writes_and_leads_back_to_its_line(door: Door) -> None:
    """Without scripts a form writes one finding and comes back to it; left empty it is unknown again."""
    key = door.open()
    answer = door.post(f"/cases/{key}/tear", data=form("tear.tissue", 2, value="poor"))
    assert (answer.status_code, answer.headers["location"]) == (303, f"/cases/{key}/tear#tear.tissue")
    assert '"measure.tear.tissue" aria-haspopup="true">poor</button></span>' in door.get(f"/cases/{key}/tear").text
    assert door.post(f"/cases/{key}/tear", data=form("tear.tissue", 3, value="")).status_code == 303
    assert "Tissue quality, felt in theatre</b>: not measured" in door.get(f"/cases/{key}/tear").text


@pytest.mark.req("REQ-025")
def test_a_form_of_an_older_state_writes_nothing(door: Door) -> None:
    """A form filled in one window while another wrote is refused with what changed."""
    key = door.open()
    assert door.post(f"/cases/{key}/tear", data=form("patient.age", 2, value="60")).status_code == 303
    late = door.post(f"/cases/{key}/tear", data=form("patient.age", 2, value="61"))
    assert late.status_code == 409
    assert "age set" in late.json()["error"]
    assert ">60</button></span>" in door.get(f"/cases/{key}/tear").text


STRANGE: list[tuple[str, Any]] = [
    ("identity.side", "left"),
    ("identity.patient", "another"),
    ("plan.pattern", "double-row"),
    ("tear.__class__", 1),
    ("nothing", 1),
    ("../../etc/passwd", 1),
    ("tear.width_mm", None),
    ("tear.width_mm", 14.0),
    ("tear.width_mm", {**WIDTH, "value": 0.0}),
    ("tear.width_mm", {**WIDTH, "value": -3.0}),
    ("tear.width_mm", {**WIDTH, "sd": -1.0}),
    ("tear.width_mm", {**WIDTH, "origin": "guessed"}),
    ("tear.width_mm", {**WIDTH, "trace": "x" * 501}),
    ("tear.width_mm", {**WIDTH, "more": 1}),
    ("tear.shape", "round"),
    ("tear.tendons", ["deltoid"]),
    ("tear.partial_depth_mm", WIDTH),
    ("tear.missing_tissue", [[1.0, 2.0], [2.0, 3.0]]),
    ("tear.missing_tissue", [[1.0, 2.0]] * 25),
    ("patient.age", -4),
    ("identity.operation_date", "soon"),
]


@pytest.mark.req("REQ-210")
def test_an_impossible_or_foreign_value_is_told_and_not_written(door: Door) -> None:
    """Side, patient, unknown fields and impossible values are refused in one sentence, and no event is stored."""
    key = door.open()
    for path, value in STRANGE:
        answer = door.give(key, "set-measures", {"values": {path: value}})
        assert answer.status_code == 422, path
        assert 10 < len(answer.json()["error"]) < 400
    assert door.board(key)["seq"] == 2


def test_markup_in_a_text_stays_text(door: Door) -> None:
    """A trace or a title with markup is shown as its letters on every page."""
    key = door.open()
    evil = "<script>alert(1)</script><img src=x>"
    values = {"tear.width_mm": {**WIDTH, "trace": evil}, "identity.title": evil}
    assert door.give(key, "set-measures", {"values": values}).status_code == 200
    for path in ("/", f"/cases/{key}/tear", f"/cases/{key}/repair", f"/cases/{key}/access"):
        text = door.get(path).text
        assert "<script>alert" not in text
        assert "<img" not in text
    assert "&lt;script&gt;" in door.get("/").text


def test_a_changed_date_stands_in_the_case_list(door: Door) -> None:
    """The operation date written on Tear is the one on every place and in the list; undo brings the old one back."""
    key = door.open()
    door.give(key, "set-measures", {"values": {"identity.operation_date": "2027-01-15"}})
    assert door.get("/api/cases").json()["cases"][0]["operation_date"] == "2027-01-15"
    door.give(key, "undo")
    assert door.get("/api/cases").json()["cases"][0]["operation_date"] == "2026-12-08"


def test_what_theatre_alone_can_tell_shows_every_scenario(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    """Until tissue is felt, the page gives what the repair holds with good, fair and poor tissue, side by side."""
    key = door.open()
    bench, board = door.app.state.bench, door.app.state.cases.now(key).board
    hold = settle(bench.prepared(board.sheet), board.layout, draws=100, seed=1)
    monkeypatch.setattr(bench.settling, "known", lambda *_: hold)
    text = " ".join(door.get(f"/cases/{key}/tear").text.split())
    for scenario in hold.scenarios:
        assert f"{scenario.ultimate.middle:g} N" in text
        assert f"with {scenario.tissue} tissue" in text
    assert "time zero, laboratory" in text
