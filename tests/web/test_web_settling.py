"""Settled answers from the worker: streamed, cancelled, kept, and honest when they break."""

import json
from pathlib import Path
from typing import Any

import pytest

from cuffwright.web.settling import BESIDE
from tests.web.door import Door, opened
from tests.web.quick_course import BROKEN, QUICK

pytestmark = pytest.mark.door


def events(text: str) -> list[tuple[str, dict[str, Any]]]:
    found = []
    for block in text.split("\n\n"):
        lines = dict(line.split(": ", 1) for line in block.splitlines() if line and not line.startswith(":"))
        if "event" in lines:
            found.append((lines["event"], json.loads(lines["data"])))
    return found


@pytest.mark.req("REQ-026", "REQ-040")
def test_the_stream_ends_with_the_answer_that_the_interface_gives(door: Door) -> None:
    """Progress grows, a partial answer comes first, and the last event equals the plain settled answer."""
    key = door.open()
    told = events(door.get(f"/api/cases/{key}/hold/stream").text)
    kinds = [kind for kind, _ in told]
    assert kinds[-1] == "settled"
    assert "partial" in kinds
    done = [data["done"] for kind, data in told if kind == "progress"]
    assert done == sorted(done)
    assert told[-1][1]["hold"] == door.get(f"/api/cases/{key}/hold").json()["hold"]
    assert door.board(key)["hold"] == told[-1][1]["hold"]


@pytest.mark.req("REQ-024")
def test_the_latest_repair_wins(tmp_path: Path) -> None:
    """A newer layout of the same case stops the older computation, whose stream says so."""
    with opened(tmp_path, QUICK, draws=20_000) as door:
        key = door.open()
        cases, bench = door.app.state.cases, door.app.state.bench
        board = cases.now(key).board
        older = bench.settle(key, board, board.layout)
        door.give(key, "choose-pattern", {"name": "double-row"})
        newer_board = cases.now(key).board
        newer = bench.settle(key, newer_board, newer_board.layout)
        assert older.ended.wait(20)
        assert older.last.kind == "cancelled"
        assert newer.job.number > older.job.number
        assert newer.last.kind == "progress"


def test_two_cases_are_both_settled(door: Door) -> None:
    """A second case waits for its turn instead of stopping the first."""
    keys = [door.open(), door.open("large_l_shaped")]
    bench, cases = door.app.state.bench, door.app.state.cases
    boards = [cases.now(key).board for key in keys]
    courses = [bench.settle(key, board, board.layout) for key, board in zip(keys, boards, strict=True)]
    assert all(course.ended.wait(30) for course in courses)
    assert [course.last.kind for course in courses] == ["settled", "settled"]
    assert [course.result.side for course in courses] == ["right", "left"]


def test_a_broken_computation_is_told_and_the_next_one_works(tmp_path: Path) -> None:
    """A bug in the computation ends the stream with one sentence; the server goes on."""
    with opened(tmp_path, BROKEN) as door:
        key = door.open()
        told = events(door.get(f"/api/cases/{key}/hold/stream").text)
        assert told[-1][0] == "failed"
        assert "broke" in told[-1][1]["error"]
        assert door.get(f"/api/cases/{key}/hold").status_code == 422
        assert door.get(f"/api/cases/{key}").status_code == 200


def test_a_killed_worker_is_told_and_started_again(tmp_path: Path) -> None:
    """When the computing process dies, the job says so and the next one starts a new process."""
    with opened(tmp_path, QUICK, draws=20_000) as door:
        key = door.open()
        settling, bench, cases = door.app.state.bench.settling, door.app.state.bench, door.app.state.cases
        board = cases.now(key).board
        course = bench.settle(key, board, board.layout)
        settling._process.kill()
        assert course.ended.wait(20)
        assert course.last.kind == "failed"
        settling.draws = 200
        again = bench.settle(key, board, board.layout)
        assert again.ended.wait(30)
        assert again.last.kind == "settled"


def test_a_settled_answer_is_not_computed_twice(door: Door) -> None:
    """Asking again for the same repair returns the kept course; undo returns to it as well."""
    key = door.open()
    bench, cases = door.app.state.bench, door.app.state.cases
    first = bench.settle(key, cases.now(key).board, cases.now(key).board.layout)
    assert first.ended.wait(30)
    door.give(key, "choose-pattern", {"name": "double-row"})
    door.give(key, "undo")
    again = bench.settle(key, cases.now(key).board, cases.now(key).board.layout)
    assert again is first


def test_a_second_case_of_the_same_sheet_can_be_tried_at_once(door: Door) -> None:
    """Equal inputs share their settled answer, and estimates for the second case start from it."""
    first, second = door.open(), door.open()
    told = door.get(f"/api/cases/{first}/hold").json()["hold"]
    board = door.board(second)
    assert board["hold"] == told
    hole = board["layout"]["holes"][0]
    payload = {"name": hole["name"], "u": hole["u"], "v": hole["v"] + 1.0}
    hold = door.post(f"/api/cases/{second}/try", json={"kind": "move-hole", "payload": payload}).json()["hold"]
    assert hold["scenarios"][0]["ultimate"]["middle"] == told["scenarios"][0]["ultimate"]["middle"] + 2.0


@pytest.mark.req("REQ-024")
def test_a_repair_that_comes_back_at_once_is_settled_all_the_same(door: Door) -> None:
    """Away and back before the worker has heard of either: the repair that stands in the end gets its answer."""
    key = door.open()
    bench, cases = door.app.state.bench, door.app.state.cases
    board = cases.now(key).board
    bench.settle(key, board, board.layout)
    other = bench.holding.lay(bench.prepared(board.sheet), "double-row")
    bench.settle(key, board, other)
    back = bench.settle(key, board, board.layout)
    assert back.ended.wait(20)
    assert back.last.kind == "settled"
    assert back.result is not None
    assert back.result.layout == board.layout


def test_a_case_goes_before_the_versions_on_its_shelf(tmp_path: Path) -> None:
    """A version that is being computed gives way to a case, and is computed when it is asked for again."""
    with opened(tmp_path, QUICK, draws=2_000) as door:
        key = door.open()
        bench, cases = door.app.state.bench, door.app.state.cases
        board = cases.now(key).board
        other = bench.holding.lay(bench.prepared(board.sheet), "double-row")
        version = bench.settle(f"{key}{BESIDE}0", board, other)
        case = bench.settle(key, board, board.layout)
        assert version.ended.wait(20)
        assert version.last.kind == "cancelled"
        assert case.ended.wait(20)
        assert case.last.kind == "settled"
        again = bench.settle(f"{key}{BESIDE}0", board, other)
        assert again.ended.wait(20)
        assert again.last.kind == "settled"
