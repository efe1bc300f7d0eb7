"""New cases from five measures and from other cases, and finding them again."""

import pytest

from tests.web.door import Door

pytestmark = pytest.mark.door

SHORT = {
    "patient": "K-12",
    "side": "left",
    "width_mm": 19.0,
    "width_sd_mm": 1.5,
    "retraction_mm": 15.0,
    "age": 60,
    "shape": "crescent",
}


def form(**changed: str) -> str:
    """The short path as a plain form sends it."""
    fields = {name: str(value) for name, value in {**SHORT, **changed}.items() if value != ""}
    return "&".join(f"{name}={value}" for name, value in fields.items())


@pytest.mark.req("REQ-213")
def test_five_measures_give_a_case_with_all_else_unknown(door: Door) -> None:
    """Side, width, retraction, age and shape stand in the case as typed; nothing else is known."""
    key = door.post("/api/cases", json={"short": SHORT}).json()["key"]
    board = door.board(key)
    assert (board["identity"]["side"], board["identity"]["patient"]) == ("left", "K-12")
    assert board["tear"]["width_mm"] == {
        "value": 19.0,
        "sd": 1.5,
        "origin": "typed",
        "trace": "typed on the short path",
    }
    assert set(board["tear"]) == {
        "width_mm",
        "retraction_mm",
        "shape",
        "tendons",
        "full_thickness",
        "remeasured_after_debridement",
    }
    assert board["layout"] is None
    words = door.get(f"/cases/{key}/tear").text
    assert "Thickness of the tendon</b>: not measured" in words
    assert "Tissue quality, felt in theatre</b>: not measured" in words


def test_five_measures_and_a_pattern_give_a_plan_by_the_plain_form(door: Door) -> None:
    """The plain form opens the repair with the pattern that was asked for, laid on this tear."""
    answer = door.post("/cases/short", content=form(pattern="bridging-knotless"))
    assert answer.status_code == 303
    key = answer.headers["location"].split("/")[2]
    board = door.board(key)
    assert board["layout"]["pattern"] == "bridging-knotless"
    assert board["chart"]["strip"]["width"] == 19.0


@pytest.mark.req("REQ-001", "REQ-213")
def test_a_missing_side_and_impossible_measures_are_told(door: Door) -> None:
    """Without a side, or with words or impossible numbers, one sentence comes back and nothing is stored."""
    sides = door.post("/cases/short", content=form(side=""))
    assert "there is no default" in sides.json()["error"]
    for strange in ({"width_mm": "wide"}, {"width_mm": "-4"}, {"width_mm": "NaN"}, {"width_mm": "inf"}, {"age": "6.5"},
                    {"shape": "round"}, {"side": "both"}, {"operation_date": "2026-13-45"}, {"pattern": "none-of-ours"},
                    {"width_mm": "150"}, {"more": "1"}):  # fmt: skip
        answer = door.post("/cases/short", content=form(**strange))
        assert answer.status_code == 422, strange
        assert 10 < len(answer.json()["error"]) < 400
    for body in (b"", b"\xff", b"a=1&" * 50):
        assert door.post("/cases/short", content=body).status_code == 422
    assert door.get("/api/cases").json()["cases"] == []


def test_a_copy_holds_what_stands_and_goes_its_own_way(door: Door) -> None:
    """A copy has the moved anchor and the measures of the first; a change of the copy leaves the first alone."""
    key = door.open()
    spot = door.board(key)["layout"]["anchors"][0]
    door.give(key, "move-anchor", {"name": "1", "u": spot["u"] + 1, "v": spot["v"]})
    other = door.post(f"/cases/{key}/copy").headers["location"].split("/")[2]
    first, second = door.board(key), door.board(other)
    assert second["layout"] == first["layout"]
    assert second["tear"] == first["tear"]
    assert second["identity"]["title"] == "Small crescent tear (invented), copy"
    door.give(other, "choose-pattern", {"name": "double-row"})
    assert door.board(key) == first
    assert door.post("/api/cases", json={"copy_of": "case-0000000000"}).status_code == 404


def test_cases_are_found_by_every_word(door: Door) -> None:
    """Words of title, key, side, date or pattern narrow the list; all of them must stand in a case."""
    for demo in ("small_crescent", "large_l_shaped"):
        door.open(demo)
    both = door.get("/").text
    assert both.count('class="case"') == 2
    for words, side in (("left double", "LEFT"), ("crescent 2026-12-08", "RIGHT"), ("DEMO-L", "LEFT")):
        text = door.get("/", params={"q": words}).text
        assert text.count('class="case"') == 1, words
        assert f"{side} shoulder" in text
    nothing = door.get("/", params={"q": "left crescent <b>"}).text
    assert 'class="case"' not in nothing
    assert "<b>" not in nothing
