"""Access under a real hand: the arm turned, portals moved, the table walked, with and without three dimensions."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import COLD_MS, Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser

Access = Callable[..., str]
NO_WEBGL = """
const plain = HTMLCanvasElement.prototype.getContext;
HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
  return String(kind).startsWith("webgl") ? null : plain.call(this, kind, ...more);
};
"""


@pytest.fixture
def access(page: Page, server: Server) -> Access:
    """Open a fresh demo case in Access and wait until its table stands; returns its key."""

    def opened(demo: str = "small_crescent", settled: bool = False) -> str:
        key = server.open(demo)
        page.goto(f"{server.address}/cases/{key}/access")
        page.wait_for_selector("#state.settled" if settled else ".reach .cell", timeout=COLD_MS)
        return key

    return opened


def stored(page: Page) -> Any:
    """Wait for the answer to a command."""
    return page.expect_response(lambda r: r.url.endswith("/commands"))


@pytest.mark.req("REQ-042")
def test_access_breaks_no_accessibility_rule(page: Page, access: Access) -> None:
    """The settled place of a left shoulder, with an open answer: no violation, the side in words, no word "safe"."""
    access("large_l_shaped", settled=True)
    page.locator("#verdict .ask").last.click()
    page.wait_for_selector("#answer:not([hidden])")
    assert violations(page) == []
    expect(page.locator(".side")).to_have_text("LEFT shoulder")
    expect(page.locator("#margins")).to_contain_text("population estimates")
    assert "safe" not in page.locator("main").inner_text().lower()


def test_arrow_keys_turn_the_arm_and_undo_brings_it_back(page: Page, access: Access, server: Server) -> None:
    """An arrow turns the arm by 5 degrees and the table follows; resting stores one change, undo takes it back."""
    key = access()
    dial = page.get_by_role("slider", name="Abduction")
    expect(dial).to_have_attribute("aria-valuenow", "15")
    seq = server.board(key)["seq"]
    dial.focus()
    with stored(page):
        page.keyboard.press("ArrowUp")
        page.keyboard.press("Shift+ArrowUp")
    expect(dial).to_have_attribute("aria-valuenow", "35")
    expect(page.locator("#hidden .ask")).not_to_have_text("0 %")
    assert server.board(key)["seq"] == seq + 1
    expect(page.locator("#undo")).to_contain_text("arm set")
    with stored(page):
        page.keyboard.press("Control+z")
    expect(dial).to_have_attribute("aria-valuenow", "15")


def test_a_portal_is_moved_by_drag_and_by_arrow(page: Page, access: Access, server: Server) -> None:
    """A drag on the skin map is one change and moves the marking-pen distance; so do an arrow and a typed distance."""
    key = access()
    lateral = page.locator('[data-portal="lateral"]')
    below = page.locator("#pen-lateral-0")
    expect(below).to_have_value("2.5")
    lateral.scroll_into_view_if_needed()
    box = lateral.locator(".body").bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    seq = server.board(key)["seq"]
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 12, steps=3)
    with stored(page):
        page.mouse.up()
    expect(below).not_to_have_value("2.5")
    assert float(below.input_value()) > 2.5
    assert server.board(key)["seq"] == seq + 1
    lateral.focus()
    with stored(page):
        page.keyboard.press("ArrowUp")
    below.fill("2.2")
    with stored(page):
        page.keyboard.press("Tab")
    expect(page.locator("#undo")).to_contain_text("lateral portal moved")
    expect(below).to_have_value("2.2")


def test_the_table_is_walked_by_arrows_and_says_why(page: Page, access: Access) -> None:
    """One cell is in the tab order; arrows walk; the chosen answer stands below in words, with its reason."""
    access()
    assert page.locator('.reach .cell[tabindex="0"]').count() == 1
    page.locator('.reach .cell[data-cell="1 from lateral"]').click()
    expect(page.locator(".reach-told")).to_contain_text("1 from lateral: no, because the site faces away")
    page.keyboard.press("ArrowDown")
    expect(page.locator(".reach-told")).to_contain_text("1 from accessory superolateral")
    expect(page.locator('.reach .cell[aria-pressed="true"]')).to_be_focused()


def test_without_three_dimensions_the_place_says_so_and_works(page: Page, access: Access) -> None:
    """No WebGL: a visible sentence in its place; table, skin map and dial work as before."""
    page.add_init_script(NO_WEBGL)
    access()
    expect(page.locator("#shoulder")).to_contain_text("no WebGL")
    expect(page.locator("#shoulder canvas")).to_have_count(0)
    expect(page.locator("#skin svg")).to_be_visible()
    page.get_by_role("slider", name="Rotation").focus()
    with page.expect_response(lambda r: r.url.endswith("/access/try")):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#state")).to_contain_text("mean shoulder")
    expect(page.locator(".reach .cell")).to_have_count(56)
