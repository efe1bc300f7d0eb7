"""The tear under a real hand: its outline on the map, its measures as sentences."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import COLD_MS, Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser


def stored(page: Page):
    """Wait for the answer to a command."""
    return page.expect_response(lambda r: r.url.endswith("/commands"))


def opened(page: Page, server: Server, demo: str = "small_crescent") -> str:
    """Open a demo case on Tear; returns its key."""
    key = server.open(demo)
    page.goto(f"{server.address}/cases/{key}/tear")
    page.wait_for_selector(".tear-handle", timeout=COLD_MS)
    return key


def width(server: Server, key: str) -> float:
    """The stored width."""
    return float(server.board(key)["tear"]["width_mm"]["value"])


@pytest.mark.req("REQ-212")
def test_the_outline_is_moved_by_keys_mouse_and_clicks(page: Page, server: Server) -> None:
    """The back edge goes 2 mm by a key, further by a drag and by two clicks; each is one event."""
    key = opened(page, server)
    handle = page.locator('.tear-handle[data-name="back"]')
    handle.focus()
    with stored(page):
        page.keyboard.press("Shift+ArrowLeft")
    assert width(server, key) == 16.0
    expect(page.locator("#verdict")).to_contain_text("16 mm front to back")
    assert page.evaluate("document.activeElement.dataset.name") == "back"
    box = handle.locator(".body").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 30, y + 40, steps=3)
    with stored(page):
        page.mouse.up()
    dragged = width(server, key)
    assert dragged > 16.5
    box = handle.locator(".body").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.click(x, y)
    expect(page.locator("#hand")).to_contain_text("picked")
    with stored(page):
        page.mouse.click(x + 60, y)
    assert width(server, key) < dragged - 0.5
    assert server.board(key)["seq"] == 5
    with stored(page):
        page.keyboard.press("Control+z")
    assert width(server, key) == dragged


def test_the_map_comes_nearer_and_stays_so_over_a_change(page: Page, server: Server) -> None:
    """Plus comes nearer with a finer net, a change leaves the map as near as it is, nought shows it all."""
    opened(page, server)
    bar = page.locator("#map .scale text").first
    whole = page.locator("#map .scale path").bounding_box()["width"]
    page.keyboard.press("+")
    page.keyboard.press("+")
    near = page.locator("#map .scale path").bounding_box()["width"]
    assert near > 1.8 * whole
    expect(bar).to_contain_text("net 1 mm")
    with stored(page):
        page.get_by_role("button", name="Draw missing tissue").click()
    expect(page.locator(".tear-handle.corner")).to_have_count(3)
    assert page.locator("#map .scale path").bounding_box()["width"] == pytest.approx(near)
    page.keyboard.press("0")
    assert page.locator("#map .scale path").bounding_box()["width"] == pytest.approx(whole)


def test_missing_tissue_is_drawn_and_its_corners_follow_the_hand(page: Page, server: Server) -> None:
    """An outline is begun with three corners, gets a fourth, loses it again by Delete, and goes as a whole."""
    key = opened(page, server)
    with stored(page):
        page.get_by_role("button", name="Draw missing tissue").click()
    with stored(page):
        page.get_by_role("button", name="One more corner").click()
    assert len(server.board(key)["tear"]["missing_tissue"]) == 4
    page.locator('.tear-handle[data-name="c1"]').focus()
    with stored(page):
        page.keyboard.press("Delete")
    assert len(server.board(key)["tear"]["missing_tissue"]) == 3
    expect(page.locator(".tear-handle.corner")).to_have_count(3)
    with stored(page):
        page.get_by_role("button", name="No missing tissue").click()
    assert "missing_tissue" not in server.board(key)["tear"]


@pytest.mark.req("REQ-210", "REQ-042")
def test_a_measure_is_filled_in_its_own_sentence(page: Page, server: Server) -> None:
    """An unknown measure is filled where it stands, moves among the measured with its parts, and no rule is broken."""
    key = opened(page, server, "large_l_shaped")
    line = page.locator("li[id='footprint.head_radius_mm']")
    line.locator("summary").click()
    line.get_by_label("Value, mm").fill("24.5")
    line.get_by_label("SD").fill("0.8")
    line.get_by_label("From").select_option("image")
    line.get_by_label("How to repeat it").fill("coronal, three points")
    assert violations(page) == []
    line.get_by_role("button", name="Write it down").click()
    expect(line.locator(".value")).to_have_text("24.5 mm, SD 0.8 mm")
    expect(line).to_contain_text("Trace: coronal, three points.")
    expect(page.locator("#undo")).to_contain_text("radius of the head set")
    expect(line.locator("summary")).to_be_focused()
    assert server.board(key)["seq"] == 3
