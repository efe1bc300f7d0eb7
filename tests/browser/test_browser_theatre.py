"""A whole operation in a real Chromium, with a mishap and the server killed in the middle."""

import json
import signal
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from cuffwright.archive import open_archive
from cuffwright.case.entry import ImplantEntered, MishapEntered, Replanned, StepLeft
from cuffwright.course.limbs_in_theatre import limbs_now
from cuffwright.web.operations import operation_of
from tests.browser.conftest import Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser

MADE, DURING = 3, 3
WIDTHS = ((1440, 900), (1024, 768))


SERVE_QUICK = """
import sys
from functools import partial
from pathlib import Path
import cuffwright.web.serve as program
from tests.web.quick_course import QUICK
program.create_app = partial(program.create_app, holding=QUICK)
program.serve(Path(sys.argv[1]), int(sys.argv[2]), False)
"""
"""A server that needs no kernels."""

HOLDS = "As it stands, if the rest goes as planned: 150 N."


@pytest.fixture
def own(tmp_path: Path) -> Iterator[list[Server]]:
    """A server of this test's own, which it may kill and start again."""
    running = [Server(tmp_path / "cases", program=SERVE_QUICK)]
    yield running
    running[-1].stop()


@pytest.mark.req("REQ-237")
@pytest.mark.req("REQ-228")
@pytest.mark.req("REQ-239")
def test_a_whole_operation_with_a_mishap_and_a_killed_server(page: Page, own: list[Server], tmp_path: Path) -> None:
    """Entries made in an outage wait and are kept once, then the limbs are planned anew; the record equals the log."""
    server, port = own[0], own[0].port
    key = server.open("small_crescent")
    identity = server.board(key)["identity"]
    page.expected_troubles += ["ERR_CONNECTION_REFUSED", "ERR_EMPTY_RESPONSE", "ERR_CONNECTION_RESET", "422"]  # type: ignore[attr-defined]
    told = iter([{"words": "By the plan: being worked out.", "working": True, "done": 100, "total": 500}])
    settled = {"words": HOLDS, "working": False, "done": 500, "total": 500}
    page.route("**/theatre/hold", lambda route: route.fulfill(json=next(told, settled)))
    page.goto(f"{server.address}/cases/{key}/theatre")
    expect(page.locator("#hold-progress")).to_have_attribute("max", "500")
    expect(page.locator("#hold")).to_have_text(HOLDS)
    page.fill("#open-patient", "someone else")
    page.check(f"#opening input[value={identity['side']}]")
    page.fill("#open-person", "operator A")
    page.click("#opening button")
    expect(page.locator("#open-wrong")).to_contain_text("wristband")
    page.fill("#open-patient", identity["patient"])
    page.click("#opening button")
    page.wait_for_selector("#work:not([hidden])")
    assert violations(page) == []
    page.wait_for_function("caches.open('theatre').then(c => c.keys()).then(k => k.length > 6)")
    before = [step["key"] for step in _theatre(server, key)["steps"]].index("limb move 1") + MADE
    _leave(page, before)
    page.keyboard.press("PageDown")
    page.click("#pedal")
    page.fill("#pedal-person", "assistant B")
    page.keyboard.press("Enter")
    expect(page.locator("#pedal")).to_have_text("Pedal on: assistant B")
    page.keyboard.press("PageDown")
    page.keyboard.press("PageDown")
    page.click("#pedal")
    expect(page.locator("#place-in")).to_contain_text(f"step {before + 2} of")
    expect(page.locator("#outbox")).to_have_text("Every entry is kept.", timeout=30_000)

    server.stop(signal.SIGKILL)
    _leave(page, DURING)
    page.keyboard.press("h")
    page.select_option("#happened-kind", "anchor out")
    page.select_option("#happened-name", "2")
    page.fill("#happened-at", "18")
    page.fill("#happened-words", "came out")
    page.click("#happened button")
    expect(page.locator("#stale")).to_contain_text("not kept yet")
    expect(page.locator("#outbox")).to_contain_text(f"{DURING + 1} entries wait in this browser")
    page.reload()
    expect(page.locator("#outbox")).to_contain_text(f"{DURING + 1} entries wait in this browser")
    expect(page.locator("#place-in")).to_contain_text(f"step {before + DURING + 2} of")
    for width, height in WIDTHS:
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    own.append(Server(tmp_path / "cases", port, SERVE_QUICK))
    expect(page.locator("#anew")).to_contain_text("insert anchor 3", timeout=30_000)
    expect(page.locator("#step-title")).to_have_text("Planned anew from here")
    expect(page.locator("#stale")).to_be_empty()
    assert violations(page) == []

    steps = _theatre(own[1], key)["steps"]
    _leave(page, len(steps) - before - DURING - 1)
    expect(page.locator("#outbox")).to_have_text("Every entry is kept.", timeout=30_000)
    page.click("#scan")
    for number, place in enumerate(_theatre(own[1], key)["places"]):
        page.fill("#label-text", f"(01)51022222233336(17)601231(10)LOT7(21)S{number}")
        page.select_option("#label-place", place)
        page.click("#implant button.main")
        expect(page.locator("#implants li")).to_have_count(number + 1)
    lines = {line["standing"] for line in _theatre(own[1], key)["lines"]}
    assert lines <= {"planned, unconfirmed", "changed, unconfirmed"}

    page.goto(f"{own[1].address}/cases/{key}/record")
    page.fill("[data-field=counts] input", "complete")
    _click_and_wait(page, "[data-field=counts] button")
    withdrawn = page.locator("#withdraw-seq option").filter(has_text="switched off").get_attribute("value")
    page.select_option("#withdraw-seq", withdrawn)
    page.fill("#withdraw-reason", "not needed here")
    _click_and_wait(page, "#withdraw button")
    expect(page.locator(".record-page")).to_contain_text(f"Entry {withdrawn} was withdrawn: not needed here")
    page.click("#tick-all")
    page.fill("#affirm-person", "operator A")
    _click_and_wait(page, "#affirm button[type=submit]")
    assert violations(page) == []
    page.fill("#sign-person", "operator A")
    _click_and_wait(page, "#sign button")
    expect(page.locator(".verdict")).to_contain_text("Signed and locked")
    shown = json.load(urllib.request.urlopen(f"{own[1].address}/api/cases/{key}/record/record.json"))
    own[1].stop()

    with open_archive(tmp_path / "cases") as archive:
        operation = operation_of(archive.events(key))
    left = [entry.step for _, entry in operation.of(StepLeft)]
    assert left == [step["key"] for step in steps]
    assert [(e.kind, e.words) for _, e in operation.of(MishapEntered)] == [("anchor out", "came out")]
    assert [entry.made for _, entry in operation.of(Replanned)] == ["in theatre"]
    assert limbs_now(operation).state.limb("2aF").stage == "removed"
    assert {x.stage for x in limbs_now(operation).state.limbs} == {"fixed", "removed"}
    inside = {e.label.serial for _, e in operation.of(ImplantEntered)}
    told = {dict(line["fill"])["serial"] for line in _lines(shown, "implants")}
    assert told == inside
    cited = {seq for part in shown["record"]["sections"] for line in part["lines"] for seq in line["events"]}
    assert cited <= {kept.seq for kept in operation.entries}
    late = [kept for kept, _ in operation.of(StepLeft)][before + 1 :][:DURING]
    assert all(kept.happened < kept.at for kept in late)


def _leave(page: Page, times: int) -> None:
    for _ in range(times):
        page.keyboard.press("ArrowRight")


def _click_and_wait(page: Page, button: str) -> None:
    with page.expect_navigation():
        page.click(button)


def _theatre(server: Server, key: str) -> dict:
    with urllib.request.urlopen(f"{server.address}/api/cases/{key}/theatre") as answer:
        return dict(json.load(answer))


def _lines(document: dict, key: str) -> list[dict]:
    return [line for part in document["record"]["sections"] if part["key"] == key for line in part["lines"]]
