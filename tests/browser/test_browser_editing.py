"""The repair changed by hand and its versions compared, on the page."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import COLD_MS, Server
from tests.browser.test_browser_places import violations

pytestmark = pytest.mark.browser

MOST_ACTIONS = 25


class Counted:
    """A surgeon who counts what the hand does."""

    def __init__(self, page: Page) -> None:
        self.page, self.actions = page, 0

    def click(self, where: Any) -> None:
        """One click."""
        self.actions += 1
        where.click()

    def press(self, key: str) -> None:
        """One key."""
        self.actions += 1
        self.page.keyboard.press(key)


def stored(page: Page) -> Any:
    """Wait for the answer to a command."""
    return page.expect_response(lambda r: r.url.endswith("/commands"))


@pytest.mark.req("REQ-214", "REQ-215")
def test_from_the_case_list_to_a_compared_plan_within_25_actions(page: Page, server: Server) -> None:
    """Open a case, keep its plan, add an anchor, run a limb to it, move it, keep that too: compared in few actions."""
    key = server.open("small_crescent")
    hand = Counted(page)
    page.goto(server.address)
    hand.click(page.locator(f'a[href="/cases/{key}/repair"]'))
    page.wait_for_selector(".movable", timeout=COLD_MS)
    keep = page.get_by_role("button", name="Keep what stands")
    with stored(page):
        hand.click(keep)
    with stored(page):
        hand.click(page.get_by_role("button", name="Add a lateral anchor"))
    expect(page.locator('.movable[data-name="L3"]')).to_be_focused()
    with stored(page):
        hand.press("Shift+ArrowDown")
    hand.click(page.locator('.movable[data-name="1aB"] .body'))
    hand.press("Escape")
    with stored(page):
        hand.actions += 1
        page.get_by_label("runs to").select_option("L3")
    with stored(page):
        hand.click(keep)
    with stored(page):
        hand.actions += 1
        page.get_by_role("button", name="Take Version A").click()
    page.wait_for_selector(".state.settled", timeout=COLD_MS)
    column = page.locator(".compare td", has_text="N (")
    expect(column).to_have_count(3, timeout=COLD_MS)
    expect(page.locator(".compare")).to_contain_text("anchor L3 more")
    expect(page.locator(".compare .change").first).to_have_text("no change")
    print(f"\nfrom the case list to a compared plan: {hand.actions} actions")
    assert hand.actions < MOST_ACTIONS
    hold = server.board(key)["hold"]
    middle = next(s for s in hold["scenarios"] if s["tissue"] == "fair")["ultimate"]
    told = f"{middle['middle']:g} N ({middle['low']:g} to {middle['high']:g})"
    assert [text.startswith(told) for text in column.all_inner_texts()] == [True, True, False]
    page.locator('th[data-version="Version A"]').drag_to(page.locator('th[data-version="Version B"]'))
    expect(page.locator(".compare caption")).to_contain_text("each against Version B")
    expect(page.locator(".compare")).to_contain_text("anchor L3 less")
    expect(page.locator("#said")).to_have_text("Version A compared with Version B.")
    hand_free = page.get_by_role("button", name="Against what stands")
    hand_free.press("Enter")
    expect(hand_free).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".compare")).to_contain_text("anchor L3 more")
    assert violations(page, ".middle") == []


@pytest.mark.req("REQ-214")
def test_what_is_chosen_is_tied_otherwise_and_taken_out(page: Page, repair: Callable[..., str], server: Server) -> None:
    """An anchor's sutures and implant change by a choice; Delete takes a limb out; undo brings it back."""
    key = repair()
    page.locator('.movable[data-name="2"]').focus()
    with stored(page):
        page.get_by_label("sutures").select_option("simple")
    assert [s["kind"] for s in server.board(key)["layout"]["stitches"] if s["anchor"] == "2"].count("simple") == 2
    with stored(page):
        page.get_by_label("implant").select_option("threaded-5.0")
    page.locator('.movable[data-name="2aF"]').focus()
    expect(page.locator("#edit")).to_contain_text("Limb 2aF")
    with stored(page):
        page.keyboard.press("Delete")
    expect(page.locator('.movable[data-name="2aF"]')).to_have_count(0)
    expect(page.locator("#undo")).to_contain_text("limb 2aF removed")
    with stored(page):
        page.keyboard.press("Control+z")
    expect(page.locator('.movable[data-name="2aF"]')).to_be_visible()
    expect(page.locator("#verdict")).to_contain_text("changed by hand", timeout=COLD_MS)


def drawn_at_rest(page: Page) -> int:
    """How many pictures were drawn once nothing changes any more: the settled answer is the last to change one."""
    page.wait_for_selector(".state.settled", timeout=COLD_MS)
    page.wait_for_timeout(400)
    frames = page.locator("#solid").get_attribute("data-frames")
    page.wait_for_timeout(400)
    assert page.locator("#solid").get_attribute("data-frames") == frames
    return int(frames or 0)


def test_the_repair_turns_in_three_dimensions(page: Page, server: Server) -> None:
    """Key 3 shows bone, tendon, anchors and limbs by name, drawn only when something changes; a cut opens them."""
    key = server.open("large_l_shaped")
    page.goto(f"{server.address}/cases/{key}/repair")
    page.wait_for_selector(".movable", timeout=COLD_MS)
    page.keyboard.press("3")
    page.wait_for_selector("#solid[data-triangles]", timeout=COLD_MS)
    expect(page.locator(".solid-names span").nth(8)).to_be_attached()
    assert 5_000 < int(page.locator("#solid").get_attribute("data-triangles") or 0) < 50_000
    layout = server.board(key)["layout"]
    shown = page.locator(".solid-names span").all_text_contents()
    for part in (*layout["anchors"], *layout["holes"]):
        assert part["name"] in shown
    page.locator("#solid").focus()
    drawn = drawn_at_rest(page)
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#solid")).not_to_have_attribute("data-frames", str(drawn))
    hidden = page.locator(".solid-names span[hidden]").count()
    page.get_by_label("cut", exact=True).check()
    expect(page.locator("#solid output")).to_contain_text("behind the front of the footprint")
    expect(page.locator(".solid-names span[hidden]")).not_to_have_count(hidden)
    assert violations(page, "#solid") == []
    page.get_by_role("button", name="Map", exact=True).click()
    expect(page.locator('.movable[data-name="1"]')).to_be_visible()
